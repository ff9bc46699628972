"""What is written to the terminal, read back by an independent terminal emulator (pyte)."""

from __future__ import annotations

import io
import re

import pyte
import pytest

from assistant.screen.layout import PROMPT, Size, frame
from assistant.screen.terminal import Terminal
from tests.assistant.screen.pictures import LINES, MOMENTS, chat

SIZE = Size(80, 24)
COLOUR = re.compile(r"\x1b\[[0-9;]*m")


class Broken(io.StringIO):
    def write(self, text: str) -> int:
        raise OSError("gone")


def painted(moment: str, *, prompt: bool, **environ: str) -> tuple[str, list[str]]:
    """What was written, and what an emulator then shows."""
    out = io.StringIO()
    terminal = Terminal(out, prompt=prompt, environ={"TERM": "xterm-256color", **environ})
    terminal.enter()
    terminal.park(SIZE)
    terminal.paint(frame(MOMENTS[moment], chat(), LINES, SIZE, 0.0, prompt=prompt), SIZE)
    screen = pyte.Screen(SIZE.columns, SIZE.rows)
    pyte.Stream(screen).feed(out.getvalue())
    return out.getvalue(), [line.rstrip() for line in screen.display]


@pytest.mark.parametrize("moment", MOMENTS)
def test_an_emulator_shows_the_frame(moment: str) -> None:
    wanted = frame(MOMENTS[moment], chat(), LINES, SIZE, 0.0, prompt=False)
    assert painted(moment, prompt=False)[1] == [line.plain.rstrip() for line in wanted]


def test_colour_comes_on_top_and_no_colour_is_respected() -> None:
    coloured, same = painted("hold", prompt=False)
    bare, shown = painted("hold", prompt=False, NO_COLOR="1")
    assert shown == same
    colours = {
        part
        for code in COLOUR.findall(bare)
        for part in code[2:-1].split(";")
        if part and 30 <= int(part) <= 107
    }
    assert colours == set()
    assert any("32" in code for code in COLOUR.findall(coloured))


def test_painting_leaves_the_cursor_to_whoever_types() -> None:
    out = io.StringIO()
    terminal = Terminal(out, prompt=True, environ={"TERM": "xterm"})
    screen = pyte.Screen(SIZE.columns, SIZE.rows)
    stream = pyte.Stream(screen)

    def paint() -> None:
        terminal.paint(frame(MOMENTS["hold"], chat(), LINES, SIZE, 0.0, prompt=True), SIZE)

    terminal.enter()
    terminal.park(SIZE)
    paint()
    out.write("sta")  # the terminal's own echo
    paint()
    out.write("rt")
    paint()
    stream.feed(out.getvalue())
    assert screen.display[-1].rstrip() == PROMPT + "start"
    assert (screen.cursor.y, screen.cursor.x) == (23, len(PROMPT + "start"))
    # Enter in the last row scrolls; after it everything is in its place again.
    out.seek(0)
    out.truncate()
    out.write("\r\n")
    terminal.park(SIZE)
    paint()
    stream.feed(out.getvalue())
    wanted = frame(MOMENTS["hold"], chat(), LINES, SIZE, 0.0, prompt=True)
    assert [line.rstrip() for line in screen.display] == [line.plain.rstrip() for line in wanted]
    assert (screen.cursor.y, screen.cursor.x) == (23, len(PROMPT))


def test_what_was_there_comes_back() -> None:
    out = io.StringIO()
    terminal = Terminal(out, prompt=False, environ={"TERM": "xterm"})
    terminal.enter()
    terminal.leave()
    text = out.getvalue()
    for on, off in (("\x1b[?1049h", "\x1b[?1049l"), ("\x1b[?25l", "\x1b[?25h")):
        assert text.index(on) < text.index(off)


def test_a_terminal_that_is_gone_is_no_error() -> None:
    terminal = Terminal(Broken(), prompt=False, environ={"TERM": "xterm"})
    terminal.enter()
    terminal.paint(frame(MOMENTS["hold"], chat(), LINES, SIZE, 0.0, prompt=False), SIZE)
    terminal.leave()
    assert terminal.size() == SIZE
