"""Spoken names, and where two things could not be told apart by ear.

>>> plain_name("Wall-Walk ")
'wall walk'
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from catalogue.problems import Path

_NO_WORD = re.compile(r"[\W_]+")


@dataclass(frozen=True)
class Name:
    """A name in a file. `owner` is the entry's number, `stand_in` marks a household thing."""

    owner: int
    path: Path
    spoken: str
    stand_in: bool = False


def plain_name(spoken: str) -> str:
    """A name as a recogniser hears it: small letters, single spaces, no signs."""
    return _NO_WORD.sub(" ", spoken.casefold()).strip()


def clashes(names: Iterable[Name]) -> Iterator[tuple[Name, Name]]:
    """Pairs of a name and an earlier one that sounds the same; linear.

    Several pieces of equipment may share a stand-in, and a stand-in that is itself equipment
    bears that one's name.
    """
    first: dict[tuple[str, bool, int], Name] = {}
    for name in names:
        sound = plain_name(name.spoken)
        key = (sound, name.stand_in, name.owner if name.stand_in else -1)
        earlier = first.setdefault(key, name)
        if earlier is not name:
            yield name, earlier
