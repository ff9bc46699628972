"""Orders to `play.py`, a player in the room."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

from tests.room.virtual_room import VirtualRoom


class Program:
    """`play.py` in the room."""

    def __init__(self, room: VirtualRoom) -> None:
        self.process = subprocess.Popen(
            [sys.executable, str(Path(__file__).with_name("play.py"))],
            env=room.env,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
        )
        self._answer()

    def order(self, do: str, **more: object) -> Any:
        """Give an order; the answer."""
        assert self.process.stdin is not None
        self.process.stdin.write(json.dumps({"do": do, **more}) + "\n")
        self.process.stdin.flush()
        return self._answer()

    def _answer(self) -> Any:
        assert self.process.stdout is not None
        line = self.process.stdout.readline()
        assert line, "the program ended"
        return json.loads(line)
