"""Block letters: digits, words and shapes made of character cells, as large as there is room.

A dot of a letter becomes a box of character cells, `wide` columns by `high` half rows: a terminal's
cell is about twice as high as wide, so half a row and a column are alike, and half-block characters
let a letter's height go in steps of half a row.

>>> print("\\n".join(line.rstrip() for line in drawn(bitmap("1"), 1, 1)))
 ▄█
  █
  █
 ▀▀▀

>>> size_for(bitmap("38"), columns=80, rows=11)
(3, 3)

The proportions stay within what ISO 9241-3 asks of characters on a display (width to height 0.5 to
1, read in a secondary source) and within the 2010 ADA Standards for signs (703.5: stroke 10 to 30
percent and gap 10 to 35 percent of the height).
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Sequence
from functools import cache
from importlib.resources import files
from math import ceil

DOTS_HIGH = 7

NARROWEST = 0.7
"""Dots may be drawn narrower than high down to this: five dots by seven are then 1 to 2."""

Bitmap = tuple[str, ...]
"""Rows of dots, `#` for ink."""

_CELLS = {(False, False): " ", (True, False): "▀", (False, True): "▄", (True, True): "█"}


@cache
def _drawings() -> dict[str, dict[str, Bitmap]]:
    text = (files("assistant.screen") / "block_letters.toml").read_text(encoding="utf-8")
    return {
        kind: {name: tuple(rows) for name, rows in drawings.items()}
        for kind, drawings in tomllib.loads(text).items()
    }


def can_draw(text: str) -> bool:
    """Whether there is a block letter for everything in a text."""
    return all(letter in _drawings()["letters"] for letter in _upper(text))


def bitmap(text: str) -> Bitmap:
    """The dots of a text, one dot between letters. The text must be one that `can_draw` takes."""
    letters = _drawings()["letters"]
    return beside(letters[letter] for letter in _upper(text))


def shape(name: str) -> Bitmap:
    """The dots of a shape."""
    return _drawings()["shapes"][name]


def shapes() -> tuple[str, ...]:
    """The names of all shapes."""
    return tuple(_drawings()["shapes"])


def beside(bitmaps: Iterable[Bitmap]) -> Bitmap:
    """Bitmaps side by side with one empty column between."""
    together = list(bitmaps)
    return tuple(".".join(rows) for rows in zip(*together, strict=True))


def size_for(dots: Bitmap, columns: int, rows: int) -> tuple[int, int] | None:
    """The largest size (columns, half rows) of one dot that fits, the higher the better.

    None where not even the smallest does.
    """
    width = len(dots[0])
    for high in range(2 * rows // DOTS_HIGH, 0, -1):
        for wide in range(high, ceil(NARROWEST * high) - 1, -1):
            if wide * width <= columns:
                return wide, high
    return None


def drawn(dots: Bitmap, wide: int, high: int) -> list[str]:
    """Lines of character cells; what ends in half a row is filled up with an empty half."""
    halves = [[dot == "#" for dot in row for _ in range(wide)] for row in dots for _ in range(high)]
    if len(halves) % 2:
        halves.append([False] * len(halves[0]))
    return [_line(halves[i], halves[i + 1]) for i in range(0, len(halves), 2)]


def rows_of(high: int) -> int:
    """How many rows of the terminal a letter takes whose dots are `high` half rows."""
    return ceil(DOTS_HIGH * high / 2)


def _line(upper: Sequence[bool], lower: Sequence[bool]) -> str:
    return "".join(_CELLS[cell] for cell in zip(upper, lower, strict=True))


def _upper(text: str) -> str:
    # The capital sharp s has a drawing; str.upper would make two letters of it.
    return text.replace("ß", "ẞ").upper()
