"""Words of everyday speech, so that a recogniser has something to hear in it but commands.

Without them a grammar decoder answers whatever is said with the phrase that is least unlike it.
"""

from __future__ import annotations

import tomllib
from functools import cache
from importlib import resources


@cache
def frequencies(language: str) -> dict[str, float]:
    """Frequent words of a language with the decimal logarithm of their share of all words."""
    text = resources.files("assistant.hearing").joinpath("decoys.toml").read_text("utf-8")
    table: dict[str, dict[str, float]] = tomllib.loads(text)
    return table.get(language, {})


def decoys(language: str, most: int = 300) -> tuple[str, ...]:
    """The most frequent words of a language, the most frequent first; none for one unknown.

    >>> decoys("en", 3)
    ('the', 'to', 'i')
    """
    table = frequencies(language)
    return tuple(sorted(table, key=lambda word: -table[word])[:most])
