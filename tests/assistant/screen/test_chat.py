"""The chat: wrapped, the last words last, names in their own column."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from assistant.screen.chat import Chat, Who

NAMES: dict[Who, str] = {"coach": "coach", "athlete": "athlete", "note": "note"}


def test_long_words_are_wrapped_under_their_speaker() -> None:
    chat = Chat()
    chat.add("coach", "one two three four five six seven")
    chat.add("athlete", "yes")
    lines = [line.plain.rstrip() for line in chat.lines(NAMES, 30, 5)]
    assert lines == ["coach:   one two three four", "         five six seven", "athlete: yes"]


def test_only_the_last_rows_are_shown() -> None:
    chat = Chat()
    for number in range(2000):
        chat.add("coach", f"line {number}")
    assert [line.plain for line in chat.lines(NAMES, 80, 2)] == [
        "coach:   line 1998", "coach:   line 1999",
    ]  # fmt: skip
    assert chat.lines(NAMES, 80, 0) == []
    assert [said.text for said in chat.last(2)] == ["line 1998", "line 1999"]


@given(st.lists(st.text(max_size=300), max_size=8), st.integers(20, 120), st.integers(0, 20))
def test_it_never_leaves_its_room(texts: list[str], columns: int, rows: int) -> None:
    chat = Chat()
    for text in texts:
        chat.add("athlete", text)
    lines = chat.lines(NAMES, columns, rows)
    assert len(lines) <= rows
    assert all(cell_len(line.plain) <= columns for line in lines)
    assert not any("\n" in line.plain or "\x1b" in line.plain for line in lines)
