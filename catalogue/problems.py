"""Mistakes in a coach's files: where each is, what is wrong, and how to mend it.

>>> print(Problem("balance.toml", 12, "`step` is 4, but is at most 3", "write 1, 2 or 3"))
balance.toml:12: `step` is 4, but is at most 3; write 1, 2 or 3
>>> print(CatalogueProblems([Problem("b.toml", 2, "x", "y"), Problem("a.toml", 9, "v", "w")]))
2 mistakes in the files:
a.toml:9: v; w
b.toml:2: x; y
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

Path = tuple[str | int, ...]
"""The way to a value through tables (keys) and lists (places from 0)."""

SHOWN = 500
"""Mistakes listed in the text of the exception; `problems` always has all of them."""


@dataclass(frozen=True)
class Fault:
    """One mistake in an entry, before it is known where the entry stands.

    `path` leads from the entry to what is wrong.
    """

    path: Path
    what: str
    mend: str

    def __str__(self) -> str:
        return f"{self.what}: {self.mend}"


@dataclass(frozen=True, order=True)
class Problem:
    """One mistake. `line` counts from 1; 0 stands for the file as a whole."""

    file: str
    line: int
    what: str
    mend: str

    def __str__(self) -> str:
        where = f"{self.file}:{self.line}" if self.line else self.file
        text = f"{where}: {self.what}; {self.mend}"
        # Names of files and of what they hold may be anything.
        return "".join(char if char.isprintable() else "?" for char in text)


class CatalogueProblems(Exception):  # noqa: N818 (it carries many)
    """Every mistake that was found, each once, in the order of files and lines."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(set(problems)))
        super().__init__(self.problems)

    def __str__(self) -> str:
        count = len(self.problems)
        lines = [str(problem) for problem in self.problems[:SHOWN]]
        if count > SHOWN:
            lines.append(f"and {count - SHOWN} more")
        if count == 1:
            return lines[0]
        return "\n".join([f"{count} mistakes in the files:", *lines])
