"""Block letters: legible by published proportions, all different, and never out of their room."""

from __future__ import annotations

import doctest
from itertools import combinations, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.screen import block_letters
from assistant.screen.block_letters import (
    DOTS_HIGH,
    Bitmap,
    beside,
    bitmap,
    can_draw,
    drawn,
    rows_of,
    shape,
    shapes,
    size_for,
)

LETTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZÄÖÜß?!:.,-'× \u2007"


def test_examples() -> None:
    assert doctest.testmod(block_letters).failed == 0


def test_all_letters_are_there_seven_dots_high() -> None:
    assert can_draw(LETTERS)
    assert can_draw(LETTERS.lower())
    assert not can_draw("쉬세요")
    for letter in LETTERS:
        rows = bitmap(letter)
        assert len(rows) == DOTS_HIGH
        assert len({len(row) for row in rows}) == 1
        assert set("".join(rows)) <= set("#.")


@pytest.mark.parametrize("group", ["0123456789", LETTERS.strip().replace("×", "")])
def test_no_two_letters_are_alike(group: str) -> None:
    """They differ in at least two dots, and digits in three: one lost dot makes no other digit."""
    for one, other in combinations(group.strip(" \u2007"), 2):
        a, b = bitmap(one), bitmap(other)
        if len(a[0]) == len(b[0]):
            both = zip("".join(a), "".join(b), strict=True)
            assert sum(x != y for x, y in both) >= (3 if one + other in "0123456789" else 2), (
                one,
                other,
            )


def test_no_two_shapes_are_alike() -> None:
    """The state is told by shape: shapes differ in at least a fifth of their dots."""
    for one, other in combinations(shapes(), 2):
        if len(shape(one)[0]) != len(shape(other)[0]):
            continue
        different = sum(
            x != y for x, y in zip("".join(shape(one)), "".join(shape(other)), strict=True)
        )
        assert different >= 7 or {one, other} == {"ready", "work"}, (one, other, different)
    filled = sum(row.count("#") for row in shape("work"))
    hollow = sum(row.count("#") for row in shape("ready"))
    assert filled > 1.5 * hollow


@given(
    columns=st.integers(20, 300),
    rows=st.integers(4, 90),
    text=st.text(alphabet=LETTERS, min_size=1, max_size=6),
)
def test_the_size_fits_and_the_next_does_not(columns: int, rows: int, text: str) -> None:
    dots = bitmap(text)
    found = size_for(dots, columns, rows)
    if found is None:
        assert len(dots[0]) > columns or rows < 4
        return
    wide, high = found
    lines = drawn(dots, wide, high)
    assert len(lines) == rows_of(high) <= rows
    assert {len(line) for line in lines} == {wide * len(dots[0])}
    assert len(lines[0]) <= columns
    assert wide * len(dots[0]) + len(dots[0]) > columns or wide == high
    taller_fits = rows_of(high + 1) <= rows and len(dots[0]) * -(-7 * (high + 1) // 10) <= columns
    assert not taller_fits


@pytest.mark.parametrize("high", range(1, 12))
def test_proportions_are_those_of_published_rules(high: int) -> None:
    """A cell is taken to be twice as high as wide (common practice of terminal fonts).

    Width to height 0.5 to 1: ISO 9241-3, read in a secondary source. Stroke 10 to 30 percent and
    gap 10 to 35 percent of the height, width of O at least 55 percent of the height of I (here at
    the widest dot): 2010 ADA Standards for Accessible Design, 703.5.
    """
    for wide in range(high, 0, -1):
        if wide < block_letters.NARROWEST * high:
            break
        height, width, stroke = 7 * high / 2, 5 * wide / 2, wide / 2
        assert 0.5 <= width / height <= 1
        assert 0.10 <= stroke / height <= 0.30
        assert 0.10 <= (wide / 2) / height <= 0.35
    assert (5 * high / 2) / (7 * high / 2) >= 0.55


def undrawn(lines: list[str], wide: int, high: int) -> Bitmap:
    """The dots of drawn lines, read back from the middle of each dot's box."""
    halves = []
    for line in lines:
        halves.append([cell in "▀█" for cell in line])
        halves.append([cell in "▄█" for cell in line])
    return tuple(
        "".join(
            "#" if halves[row * high + high // 2][column] else "."
            for column in range(wide // 2, len(lines[0]), wide)
        )
        for row in range(DOTS_HIGH)
    )


@pytest.mark.parametrize(("wide", "high"), list(product((1, 2, 3, 5), (1, 2, 3, 6))))
def test_what_is_drawn_can_be_read_back(wide: int, high: int) -> None:
    dots = beside([shape("work"), bitmap("0123456789"), shape("left")])
    assert undrawn(drawn(dots, wide, high), wide, high) == dots
