"""The frame: pictures of it, its size in millimetres, and that it always fits.

Write the pictures anew with CUEWALK_PICTURES=write, and look at them before you keep them.
"""

from __future__ import annotations

import os
from math import atan, degrees
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from assistant.screen.chat import Chat
from assistant.screen.layout import Size, frame, headline
from assistant.screen.view import View
from intents.lines import Lines
from tests.assistant.screen.pictures import LINES, MOMENTS, chat

PICTURES = Path(__file__).with_name("snapshots")
SIZES = [Size(80, 24), Size(120, 40)]

ROW_MM = 19 * 0.157
"""A row of the smallest usual terminal: 12-point letters, 19 dots of a 14-inch screen of 1920 by
1200 dots, unscaled (judgement: most screens are scaled, and have higher rows)."""


def plain(view: View, size: Size, prompt: bool = False, lines: Lines = LINES) -> list[str]:
    return [line.plain for line in frame(view, chat(), lines, size, 0.0, prompt=prompt)]


@pytest.mark.parametrize("size", SIZES, ids=lambda s: f"{s.columns}x{s.rows}")
@pytest.mark.parametrize("moment", MOMENTS)
def test_pictures(moment: str, size: Size) -> None:
    now = "\n".join(line.rstrip() for line in plain(MOMENTS[moment], size)) + "\n"
    file = PICTURES / f"{moment}-{size.columns}x{size.rows}.txt"
    if os.environ.get("CUEWALK_PICTURES") == "write":
        file.write_text(now, encoding="utf-8")
    assert now == file.read_text(encoding="utf-8")


def ink(view: View, size: Size, prompt: bool) -> int:
    """Half rows from the top to the bottom of the large thing, as drawn."""
    large = plain(view, size, prompt)[1 : size.rows // 2 + 1]
    halves = [any(cell in marks for cell in line) for line in large for marks in ("▀█", "▄█")]
    return len(halves) - halves.index(True) - halves[::-1].index(True)


@pytest.mark.parametrize("prompt", [True, False])
@pytest.mark.parametrize("moment", ["hold", "rest", "turns", "switch", "ready"])
def test_digits_can_be_read_at_three_metres(moment: str, prompt: bool) -> None:
    """On a 14-inch laptop in an 80x24 window with small letters.

    2010 ADA Standards, table 703.5.5: characters at 1015 to 1780 mm over the floor, seen from more
    than 1830 mm: 16 mm, and 3.2 mm more for each 305 mm of distance. ISO 9241-3: 20 to 22 minutes
    of arc preferred (read in a secondary source).
    """
    height = ink(MOMENTS[moment], Size(80, 24), prompt) / 2 * ROW_MM
    assert height >= 16 + 3.2 * (3000 - 1830) / 305
    assert degrees(atan(height / 3000)) * 60 >= 22
    assert height >= 25


def test_a_larger_window_has_larger_digits() -> None:
    heights = [ink(MOMENTS["hold"], size, False) for size in (*SIZES, Size(200, 60))]
    assert heights == sorted(set(heights))


@settings(max_examples=150, deadline=None)
@given(
    columns=st.integers(1, 250),
    rows=st.integers(1, 90),
    moment=st.sampled_from(sorted(MOMENTS)),
    prompt=st.booleans(),
    now=st.floats(-500, 500),
)
def test_the_frame_always_fits(
    columns: int, rows: int, moment: str, prompt: bool, now: float
) -> None:
    lines = frame(MOMENTS[moment], chat(), LINES, Size(columns, rows), now, prompt=prompt)
    assert len(lines) <= rows
    if rows >= 24 and columns >= 80:
        assert len(lines) == rows
    assert all(cell_len(line.plain) <= columns for line in lines)


def test_the_state_is_told_without_colour() -> None:
    """Of any two moments, shape or word differ in the plain text."""
    large = {moment: "\n".join(plain(view, SIZES[0])[1:16]) for moment, view in MOMENTS.items()}
    assert len(set(large.values())) == len(MOMENTS)


def test_nothing_moves_from_ten_to_nine() -> None:
    view = MOMENTS["rest"]
    ten, nine = (
        frame(view, Chat(), LINES, SIZES[0], now, prompt=False)[1:12] for now in (35.0, 36.0)
    )
    left = slice(0, 30)  # the shape
    assert [line.plain.ljust(80)[left] for line in ten] == [
        line.plain.ljust(80)[left] for line in nine
    ]


def test_the_last_words_are_always_there() -> None:
    for size in (*SIZES, Size(80, 25), Size(90, 33)):
        for prompt in (False, True):
            text = "\n".join(plain(MOMENTS["hold"], size, prompt))
            assert "coach:   Left side. Into position." in text
            assert "athlete: start" in text


def test_words_without_block_letters_are_written_small() -> None:
    korean = Lines("ko", LINES.lines, LINES.nouns, {**LINES.words, "headline_rest": "쉬세요"}, {})
    text = "\n".join(plain(MOMENTS["rest"], SIZES[0], lines=korean))
    assert "쉬세요" in text
    assert len(text.splitlines()) == 24


def test_headlines_fit_in_block_letters_at_80_columns() -> None:
    small = []
    for key in LINES.words:
        if key.startswith("headline_"):
            shape = "switch" if key == "headline_switch" else "rest"
            view = View(key.removeprefix("headline_"), shape, side="right")
            rows = plain(view, SIZES[0])
            small += [key] if any(headline(view, LINES).upper() in row for row in rows) else []
    assert small == []


def test_the_side_is_told_in_words_too() -> None:
    assert headline(MOMENTS["hold"], LINES) == "hold left"
    assert headline(MOMENTS["switch"], LINES) == "switch right"
    assert headline(MOMENTS["rest"], LINES) == "rest"
