"""Large captions only where they can be seen."""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Iterator
from typing import TextIO

import pytest

from assistant.captions import Captions
from assistant.coach import lines_of
from assistant.screen.choose import open_screen
from assistant.screen.full import FullScreen
from assistant.screen.port import Screen

if sys.platform == "win32":
    pytest.skip("no pseudo terminals here", allow_module_level=True)

import fcntl
import struct
import termios


class Tty:
    """A pseudo terminal of a given size."""

    def __init__(self, columns: int, rows: int, encoding: str = "utf-8") -> None:
        self.far, near = os.openpty()
        fcntl.ioctl(near, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
        self.file: TextIO = os.fdopen(near, "w", encoding=encoding)

    def said(self) -> str:
        os.set_blocking(self.far, False)
        try:
            return os.read(self.far, 10_000).decode()
        except BlockingIOError:
            return ""


@pytest.fixture
def tty() -> Iterator[Tty]:
    made = Tty(80, 24)
    yield made
    made.file.close()
    os.close(made.far)


def choose(tty: Tty, **more: object) -> Screen:
    options: dict[str, object] = {
        "plain": False, "typed": False, "recorded": False, "out": tty.file,
        "source": tty.file, "environ": {"TERM": "xterm"},
    }  # fmt: skip
    return open_screen(**(options | more))  # type: ignore[arg-type]


def test_a_terminal_has_large_captions(tty: Tty) -> None:
    assert isinstance(choose(tty), FullScreen)
    assert isinstance(choose(tty, typed=True), FullScreen)


@pytest.mark.parametrize(
    "more",
    [
        {"plain": True},
        {"recorded": True},
        {"out": io.StringIO()},
        {"typed": True, "source": io.StringIO("no\n")},
        {"environ": {"TERM": "dumb"}},
    ],
)
def test_lines_where_nothing_large_can_be_seen(tty: Tty, more: dict[str, object]) -> None:
    assert isinstance(choose(tty, **more), Captions)
    assert tty.said() == ""


def test_a_live_session_in_a_pipe_needs_no_keyboard(tty: Tty) -> None:
    assert isinstance(choose(tty, source=io.StringIO()), FullScreen)


def test_a_small_window_has_lines_and_is_told_why() -> None:
    for language, told in (("en", "79 by 24"), ("ko", "79칸에 24줄")):
        tty = Tty(79, 24)
        assert isinstance(choose(tty, words=lines_of(language)), Captions)
        assert told in tty.said()


def test_a_terminal_without_block_letters_has_lines() -> None:
    assert isinstance(choose(Tty(80, 24, encoding="ascii")), Captions)


def test_lines_are_what_they_were(tty: Tty) -> None:
    """A typed session's lines hold neither the athlete's words nor headlines, a live one's both."""
    out = io.StringIO()
    typed = choose(tty, out=out, typed=True)
    live_out = io.StringIO()
    live = choose(tty, out=live_out)
    for screen in (typed, live):
        screen.coach("Any pain today?")
        screen.athlete("no")
        screen.show("get_set", 5.0)
        screen.show("get_set", 6.0)
        screen.note("a note")
        screen.close()
    assert out.getvalue() == "coach: Any pain today?\nnote: a note\n"
    assert live_out.getvalue() == ("coach: Any pain today?\nathlete: no\n[get set]\nnote: a note\n")
