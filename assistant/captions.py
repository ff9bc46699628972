"""Plain captions: one line for everything said, on any terminal or pipe."""

from __future__ import annotations

import sys
from typing import TextIO


class Captions:
    """Writes `coach:` and `athlete:` lines. A reader that has gone away is no error."""

    def __init__(self, out: TextIO | None = None) -> None:
        self._out = out if out is not None else sys.stdout
        self._open = True

    def coach(self, text: str) -> None:
        self.line(f"coach: {text}")

    def athlete(self, text: str) -> None:
        self.line(f"athlete: {text}")

    def note(self, text: str) -> None:
        """Something about the session that is not said aloud."""
        self.line(f"note: {text}")

    def line(self, text: str) -> None:
        if not self._open:
            return
        try:
            print(text, file=self._out, flush=True)
        except (BrokenPipeError, ValueError):
            # Training and recording go on without a reader.
            self._open = False
