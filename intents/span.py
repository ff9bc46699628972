"""A short list of phrases that holds every pair of words that may follow each other.

An engine that builds a bigram model from the phrases it is given learns nothing more from all of
them than from such a list.

>>> span([(Word("log"), Slot(("reps",), "n"))], {"{n}": ["one", "two", "twenty one"]})
['log one', 'log two', 'log twenty one']
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import pairwise

from intents.template import Line, Piece, Slot, Word

Texts = list[str]


def key_of(item: Word | Slot | Piece) -> str:
    """What an item is called among the fillings: `{reader}` or `<piece>`."""
    return f"{{{item.reader}}}" if isinstance(item, Slot) else str(item)


def span(lines: Iterable[Line], fillings: Mapping[str, Texts]) -> Texts:
    """Phrases made of `lines` in which every pair of neighbouring words occurs that any phrase of
    them holds, the edges counted. `fillings` gives spanning texts for each slot and piece."""
    edges = {key: (_by_word(texts, 0), _by_word(texts, -1)) for key, texts in fillings.items()}
    met: set[tuple[str, str]] = set()
    pairs: set[tuple[str, str]] = set()
    out: Texts = []

    def say(parts: list[str]) -> None:
        text = " ".join(part for part in parts if part)
        fresh = set(pairwise(("", *text.split(), "")))
        if not fresh <= pairs:
            pairs.update(fresh)
            out.append(text)

    for line in lines:
        keys = [key_of(item) for item in line]
        if not all(fillings.get(key, [key]) for key in keys):
            continue  # It names something of which there is none.
        plain = [fillings[key][0] if key in fillings else key for key in keys]
        say(plain)
        for at, key in enumerate(keys):
            if key in fillings and ("", key) not in met:
                met.add(("", key))
                for text in fillings[key]:
                    say([*plain[:at], text, *plain[at + 1 :]])
        for at, (one, other) in enumerate(pairwise(["^", *keys, "$"])):
            if (one, other) in met or (one not in fillings and other not in fillings):
                continue
            met.add((one, other))
            for first in edges[one][1] if one in fillings else [""]:
                for second in edges[other][0] if other in fillings else [""]:
                    parts = list(plain)
                    if one in fillings:
                        parts[at - 1] = first
                    if other in fillings:
                        parts[at] = second
                    say(parts)
    return out


def _by_word(texts: Texts, at: int) -> Texts:
    """One text for each first (0) or last (-1) word."""
    found: dict[str, str] = {}
    for text in texts:
        if text:
            found.setdefault(text.split()[at], text)
    return list(found.values())
