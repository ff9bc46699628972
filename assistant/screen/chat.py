"""The chat so far: who said what, wrapped to the width of the screen."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass
from io import StringIO
from typing import Literal

from rich.console import Console
from rich.text import Text

Who = Literal["coach", "athlete", "note"]

KEPT = 500
"""Entries that are kept; more than any screen shows."""

_console = Console(file=StringIO(), width=80)


@dataclass(frozen=True)
class Said:
    who: Who
    text: str


class Chat:
    """What was said, oldest first."""

    def __init__(self) -> None:
        self._said: deque[Said] = deque(maxlen=KEPT)

    def add(self, who: Who, text: str) -> None:
        """Signs that would move the cursor are left out."""
        printed = "".join(sign if sign.isprintable() else " " for sign in text)
        self._said.append(Said(who, " ".join(printed.split())))

    def last(self, count: int) -> tuple[Said, ...]:
        return tuple(self._said)[-count:] if count > 0 else ()

    def lines(self, names: dict[Who, str], columns: int, rows: int) -> list[Text]:
        """The last rows of it. Names stand in a column of their own, so that who spoke is told by
        word and place."""
        indent = max(len(name) for name in names.values()) + 2
        found: list[Text] = []
        for said in reversed(self._said):
            if len(found) >= rows:
                break
            found[:0] = list(_wrapped(said, names[said.who], indent, columns))
        return found[-rows:] if rows > 0 else []


def _wrapped(said: Said, name: str, indent: int, columns: int) -> Iterator[Text]:
    width = max(10, columns - indent)
    style = "bold" if said.who == "athlete" else "dim" if said.who == "note" else ""
    for number, line in enumerate(Text(said.text, style).wrap(_console, width)):
        line.rstrip()
        label = (name + ":" if number == 0 else "").ljust(indent)
        yield Text(label, style) + line
