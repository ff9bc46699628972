"""Which captions: large ones on a terminal that can show them, else lines."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from typing import TextIO

from rich.console import Console

from assistant.captions import Captions
from assistant.screen.block_letters import drawn, shape, shapes
from assistant.screen.full import FullScreen
from assistant.screen.layout import FULL
from assistant.screen.port import Screen
from assistant.screen.terminal import Terminal
from intents.lines import Line, Lines


def open_screen(
    *,
    plain: bool,
    typed: bool,
    recorded: bool,
    out: TextIO | None = None,
    source: TextIO | None = None,
    environ: Mapping[str, str] = os.environ,
    words: Lines | None = None,
) -> Screen:
    """The screen of a session.

    Lines where they are asked for (`plain`), where nobody sees (a pipe, a file, a session typed
    from one), and where the terminal is too small, can not place its cursor, or has no block
    letters.
    A session from recordings runs ahead of any eye, so it has lines too.
    """
    out, source = out or sys.stdout, source or sys.stdin
    lines = Captions(out, echo=not typed, headlines=not typed and not recorded, words=words)
    if plain or recorded or not out.isatty() or (typed and not source.isatty()):
        return lines
    if not _can_draw(out, environ):
        return lines
    terminal = Terminal(out, prompt=typed, environ=environ)
    size = terminal.size()
    if size.columns < FULL[0] or size.rows < FULL[1]:
        if words is not None:
            at_least = {"full_columns": FULL[0], "full_rows": FULL[1]}
            here = {"columns": size.columns, "rows": size.rows}
            lines.note(words.render(Line("note.small_window", {**here, **at_least})))
        return lines
    return FullScreen(terminal, Captions(out), prompt=typed)


def _can_draw(out: TextIO, environ: Mapping[str, str]) -> bool:
    console = Console(file=out, _environ=environ)
    if console.is_dumb_terminal or console.legacy_windows:
        return False
    try:
        needed = "".join(line for name in shapes() for line in drawn(shape(name), 1, 1)) + "─"
        needed.encode(out.encoding or "ascii")
    except UnicodeEncodeError:
        return False
    return True
