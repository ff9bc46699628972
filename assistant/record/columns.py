"""Text in columns of a terminal, where some characters take two places and some none.

>>> width("롤러"), width("e\\u0301")
(4, 1)
>>> lay_out(("a long name", "12"), (6, 4), (False, True))
['a long    12', 'name']
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Sequence
from itertools import zip_longest


def width(text: str) -> int:
    """How many places the text takes."""
    return sum(map(_places, text))


def clean(text: str) -> str:
    """The text in one line, without anything that could steer a terminal."""
    return "".join(char if char.isprintable() else " " for char in text).strip()


def wrap(text: str, limit: int) -> list[str]:
    """Lines of at most `limit` (2 or more) places, broken at spaces where that is possible."""
    lines = [""]
    for word in text.split():
        for piece in _pieces(word, limit):
            if lines[-1] and width(lines[-1]) + 1 + width(piece) <= limit:
                lines[-1] += f" {piece}"
            elif lines[-1]:
                lines.append(piece)
            else:
                lines[-1] = piece
    return lines


def lay_out(cells: Sequence[str], widths: Sequence[int], right: Sequence[bool]) -> list[str]:
    """One row of a table as the lines it takes, two places between its columns."""
    columns = [wrap(cell, size) for cell, size in zip(cells, widths, strict=True)]
    lines = []
    for parts in zip_longest(*columns, fillvalue=""):
        padded = [
            " " * (size - width(part)) + part if to_right else part + " " * (size - width(part))
            for part, size, to_right in zip(parts, widths, right, strict=True)
        ]
        lines.append("  ".join(padded).rstrip())
    return lines


def _places(char: str) -> int:
    if unicodedata.combining(char) or unicodedata.category(char) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(char) in "WF" else 1


def _pieces(word: str, limit: int) -> Iterator[str]:
    piece = ""
    for char in word:
        if width(piece) + _places(char) > limit:
            yield piece
            piece = ""
        piece += char
    yield piece
