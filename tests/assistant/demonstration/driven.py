"""The real program in a terminal of its own, driven with keys and looked at as text."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import struct
import sys
import termios
import time
from collections.abc import Sequence
from pathlib import Path
from types import TracebackType

import pyte

ROOT = Path(__file__).parents[3]
COLUMNS, ROWS = 80, 24
TALK = 18
"""The row from which the chat stands; what is above it counts down by itself."""
_TOGETHER = re.compile(rb"\x1b\[\?2026[hl]|\x1b\[\?1049[hl]")
"""Asks that the terminal's emulator does not know."""


class Driven:
    """`cuewalk` with the given words, in a terminal of 80 by 24, its files under `home`."""

    def __init__(self, home: Path, words: Sequence[str]) -> None:
        self._display = pyte.Screen(COLUMNS, ROWS)
        self._stream = pyte.ByteStream(self._display)
        self._pid, self._terminal = pty.fork()
        if self._pid == 0:
            environ = {
                "PATH": os.environ["PATH"], "HOME": str(home), "CUEWALK_HOME": str(home),
                "TERM": "xterm-256color", "LANG": "C.UTF-8",
            }  # fmt: skip
            os.chdir(ROOT)
            os.execve(sys.executable, [sys.executable, "-m", "assistant", *words], environ)
        fcntl.ioctl(self._terminal, termios.TIOCSWINSZ, struct.pack("HHHH", ROWS, COLUMNS, 0, 0))

    def __enter__(self) -> Driven:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        os.close(self._terminal)
        os.waitpid(self._pid, 0)

    def type(self, text: str) -> None:
        os.write(self._terminal, text.encode() + b"\n")

    def look(self, seconds: float) -> None:
        """Take in what is written for so long."""
        until = time.monotonic() + seconds
        while (left := until - time.monotonic()) > 0:
            if not select.select([self._terminal], [], [], left)[0]:
                return
            try:
                written = os.read(self._terminal, 65536)
            except OSError:  # The program has ended.
                return
            self._stream.feed(_TOGETHER.sub(b"", written))

    def settle(self, quiet: float, patience: float = 30.0) -> None:
        """Look until nothing new was said for `quiet` seconds."""
        until = time.monotonic() + patience
        talk, since = self.talk(), time.monotonic()
        while time.monotonic() < until and time.monotonic() - since < quiet:
            self.look(0.05)
            if self.talk() != talk:
                talk, since = self.talk(), time.monotonic()

    def wait_for(self, part: str, patience: float = 30.0) -> None:
        until = time.monotonic() + patience
        while part not in " ".join(self.text().split()):
            if time.monotonic() > until:
                raise AssertionError(f"{part!r} was not shown:\n{self.text()}")
            self.look(0.05)

    def text(self) -> str:
        return "\n".join(self._display.display)

    def talk(self) -> str:
        return "\n".join(self._display.display[TALK:])

    def cells(self) -> list[list[pyte.screens.Char]]:
        """Every cell as it is shown now, row by row."""
        return [[self._display.buffer[y][x] for x in range(COLUMNS)] for y in range(ROWS)]
