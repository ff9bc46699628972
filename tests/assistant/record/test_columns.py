"""Text in columns, with rich (an independent library) as the measure of width."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.record.columns import clean, lay_out, width, wrap

WORDS = st.text(st.characters(categories=["L", "N", "P", "Zs"]), max_size=40)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "plank",
        "롤러 서기",
        "ローラー",
        "滚轴",
        "naïve",
        "e\u0301tude",
        "Übung",
        "Стойка",
        "ﬁ",
        "Ａ",
    ],
)
def test_width_agrees_with_an_independent_library(text: str) -> None:
    cells = pytest.importorskip("rich.cells")
    assert width(text) == cells.cell_len(text)


@given(WORDS, st.integers(2, 30))
def test_lines_are_short_enough_and_lose_nothing(text: str, limit: int) -> None:
    lines = wrap(text, limit)
    assert all(width(line) <= limit for line in lines)
    assert "".join("".join(lines).split()) == "".join(text.split())
    assert len(lines) == 1 or all(lines)


def test_lines_break_at_spaces() -> None:
    assert wrap("stand on the roller", 8) == ["stand on", "the", "roller"]
    assert wrap("wall-walk-and-more up", 8) == ["wall-wal", "k-and-mo", "re up"]
    assert wrap("", 8) == [""]


@given(st.text())
def test_nothing_steers_the_terminal(text: str) -> None:
    assert clean(text).isprintable()


def test_an_escape_is_taken_out() -> None:
    assert clean("\x1b[31mred\n") == "[31mred"


@given(st.lists(st.tuples(WORDS, st.integers(2, 12), st.booleans()), min_size=1, max_size=5))
def test_columns_stand_under_each_other(table: list[tuple[str, int, bool]]) -> None:
    cells, sizes, right = zip(*table, strict=True)
    for line in lay_out(cells, sizes, right):
        assert width(line) <= sum(sizes) + 2 * (len(sizes) - 1)
