"""How words sound, from the pronunciation dictionary that comes with PocketSphinx.

Of the pronunciations of a word, the first is given. A word that the dictionary lacks is sounded out
as the recogniser does it.

>>> sounds_of(["stop", "wallbar", "3"])
{'stop': ['S', 'T', 'AA', 'P'], 'wallbar': ['W', 'AO', 'L', 'B', 'AA', 'R']}
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from pathlib import Path

import pocketsphinx

from assistant.hearing.pronounce import pronounce

LANGUAGE = "en"
"""The language of the dictionary."""


def sounds_of(words: Iterable[str]) -> dict[str, list[str]]:
    """The phones (CMU set) of every word that can be sounded out."""
    found = {word: _known().get(word) or pronounce(word, _known().get) for word in words}
    return {word: phones.split() for word, phones in found.items() if phones}


@cache
def _known() -> dict[str, str]:
    path = Path(pocketsphinx.get_model_path("en-us/cmudict-en-us.dict"))
    with path.open(encoding="utf-8") as lines:
        return dict(line.rstrip().split(" ", 1) for line in lines)
