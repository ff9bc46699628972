"""A terminal that is drawn on: frames of styled lines, each in its place, nothing scrolls.

While the screen is on, it shows the terminal's second page, so that everything that stood there
before is there again afterwards. Lines that the athlete types are echoed by the terminal itself, in
the last row: painting leaves the cursor where it is, and `park` puts it back after each line.
"""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from io import StringIO
from typing import TextIO

from rich.console import Console
from rich.text import Text

from assistant.screen.layout import FULL, PROMPT, Size

_ON = "\x1b[?1049h\x1b[2J"
_OFF = "\x1b[?1049l"
_HIDE, _SHOW = "\x1b[?25l", "\x1b[?25h"
_KEEP, _BACK = "\x1b7", "\x1b8"
_TOGETHER, _DONE = "\x1b[?2026h", "\x1b[?2026l"
"""Asks for the whole frame to be shown at once; terminals that do not know it pass it over."""


class Terminal:
    """Writes frames to `out`. Once writing fails it is dark, and says nothing of it."""

    def __init__(
        self, out: TextIO, *, prompt: bool, environ: Mapping[str, str] = os.environ
    ) -> None:
        self._out = out
        self._prompt = prompt
        self._open = True
        self._environ = environ

    def size(self) -> Size:
        """Columns and rows as they are now."""
        try:
            size = os.get_terminal_size(self._out.fileno())
        except (OSError, ValueError):
            return Size(*FULL)
        return Size(size.columns or FULL[0], size.lines or FULL[1])

    def enter(self) -> None:
        self._write(_ON + ("" if self._prompt else _HIDE))

    def leave(self) -> None:
        self._write(_SHOW + _OFF)

    def park(self, size: Size) -> None:
        """Empty the page, and put the cursor where the athlete types, if they do."""
        prompt = PROMPT if self._prompt else ""
        self._write(f"\x1b[2J\x1b[{size.rows};1H{prompt}")

    def paint(self, lines: Sequence[Text], size: Size) -> None:
        """Draw a frame. The last line of one with a prompt is the athlete's and is left alone."""
        drawn = lines[:-1] if self._prompt else lines
        console = self._console(size)
        rows = "".join(
            f"\x1b[{row};1H\x1b[K{_styled(console, line)}"
            for row, line in enumerate(drawn, start=1)
        )
        self._write(_TOGETHER + _KEEP + rows + _BACK + _DONE)

    def _console(self, size: Size) -> Console:
        """What turns styles into the colours of this terminal, or into none (NO_COLOR)."""
        return Console(
            file=StringIO(),
            force_terminal=True,
            legacy_windows=False,
            width=size.columns,
            highlight=False,
            _environ=self._environ,
        )

    def _write(self, text: str) -> None:
        if not self._open:
            return
        try:
            self._out.write(text)
            self._out.flush()
        except (OSError, ValueError):
            self._open = False


def _styled(console: Console, line: Text) -> str:
    with console.capture() as captured:
        console.print(line, end="", no_wrap=True, overflow="crop", soft_wrap=True)
    return captured.get()
