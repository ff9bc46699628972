"""How alike two phrases sound, and which phrases of different meaning sound too much alike.

Sounds are ARPAbet phones, as pronunciation dictionaries of English give them; stress marks are
ignored. The distance of two phrases is the least sum of changes that turns the sounds of one into
those of the other: leaving out or adding a sound costs 0.8 (0.5 for those that are easily lost),
putting one in place of another from 0.2 (voiced for voiceless) to 1.0 (nothing in common). How
sounds are formed is textbook phonetics; the costs are our own judgement.

>>> distance("S T AA1 P".split(), "S T AA1 R T".split())
1.2
>>> distance("G OW1".split(), "N OW1".split())
0.9
>>> sounds = {"stop": ["S", "T", "AA1", "P"], "swap": ["S", "W", "AA1", "P"]}
>>> too_close([("stop", "stop"), ("swap", "swap")], sounds)
[Pair(one='stop', other='swap', intents=('stop', 'swap'), distance=1.0)]
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations

from rapidfuzz.distance import Levenshtein

from intents.phrases import Phrases
from intents.scope import Scope
from intents.template import Word, flat

LEAST = 1.0
"""Phrases of different meaning this near or nearer sound too much alike."""

LOST = 0.8
EASILY_LOST = 0.5
_WEAK = frozenset({"HH", "AH", "Y"})

_MANNER = {
    "stop": "P B T D K G", "affricate": "CH JH", "fricative": "F V TH DH S Z SH ZH HH",
    "nasal": "M N NG", "liquid": "L R ER", "glide": "W Y",
}  # fmt: skip
_PLACE = {
    "lips": "P B M F V W", "teeth": "TH DH T D S Z N L", "palate": "SH ZH CH JH Y R ER",
    "back": "K G NG", "throat": "HH",
}  # fmt: skip
_VOICED = "B D G JH V DH Z ZH M N NG L R ER W Y"
# Height (0 low to 3 high) and backness (0 front to 2 back); diphthongs by where they begin.
_VOWELS = {
    "IY": (3, 0), "IH": (2.5, 0), "EY": (2, 0), "EH": (1.5, 0), "AE": (0.5, 0), "AY": (0, 0.5),
    "AW": (0, 0.8), "AH": (1, 1), "AA": (0, 1.5), "AO": (0.8, 2), "OY": (0.8, 2), "OW": (1.5, 2),
    "UH": (2.5, 1.8), "UW": (3, 2), "ER": (1.5, 1),
}  # fmt: skip
_GLIDES = {"W": "UW", "Y": "IY"}


@dataclass(frozen=True)
class Pair:
    """Two phrases that sound alike, what each means, and their distance."""

    one: str
    other: str
    intents: tuple[str, str]
    distance: float


def plain(phone: str) -> str:
    """A phone without its stress mark."""
    return phone.rstrip("012")


@cache
def change(one: str, other: str) -> float:
    """What it costs to put one sound (no stress mark) in place of another."""
    if one == other:
        return 0.0
    first, second = _GLIDES.get(one, one), _GLIDES.get(other, other)
    if first in _VOWELS and second in _VOWELS:
        (height, back), (height_2, back_2) = _VOWELS[first], _VOWELS[second]
        return round(min(1.0, 0.2 + 0.2 * abs(height - height_2) + 0.15 * abs(back - back_2)), 2)
    if one in _VOWELS or other in _VOWELS:
        return 1.0
    apart = 0.2 if (one in _VOICED.split()) != (other in _VOICED.split()) else 0.0
    apart += 0.4 if _class(one, _PLACE) != _class(other, _PLACE) else 0.0
    apart += 0.5 if _class(one, _MANNER) != _class(other, _MANNER) else 0.0
    return round(min(1.0, max(0.2, apart)), 2)


def _class(phone: str, classes: Mapping[str, str]) -> str:
    return next((name for name, members in classes.items() if phone in members.split()), "")


def distance(one: Sequence[str], other: Sequence[str]) -> float:
    """How unlike two rows of phones sound; 0 where they are the same."""
    first, second = [plain(p) for p in one], [plain(p) for p in other]
    row = [0.0]
    for phone in second:
        row.append(row[-1] + _loss(phone))
    for sound in first:
        above, row = row, [row[0] + _loss(sound)]
        for at, phone in enumerate(second):
            row.append(
                min(
                    above[at] + change(sound, phone),
                    above[at + 1] + _loss(sound),
                    row[at] + _loss(phone),
                )
            )
    return round(row[-1], 2)


def _loss(phone: str) -> float:
    return EASILY_LOST if phone in _WEAK else LOST


def phones(text: str, pronunciations: Mapping[str, Sequence[str]]) -> list[str]:
    """The sounds of a phrase. Raises ValueError where a word has no pronunciation."""
    out: list[str] = []
    for word in text.split():
        if word not in pronunciations:
            raise ValueError(f"no pronunciation for {word!r}; give one, or use another word")
        out += pronunciations[word]
    return out


def too_close(
    phrases: Iterable[tuple[str, str]],
    pronunciations: Mapping[str, Sequence[str]],
    least: float = LEAST,
) -> list[Pair]:
    """Pairs of phrases, given with their intents, that mean different things and sound alike.

    The nearest pairs come first.
    """
    sounds = [(text, intent, phones(text, pronunciations)) for text, intent in phrases]
    # Sounds of one kind (every vowel; every voiced and voiceless pair) as one letter: each edit of
    # such texts costs 0.4 or more, so that most pairs need not be looked at closely.
    kinds = ["".join(_kind(plain(phone)) for phone in row) for _, _, row in sounds]
    most = int(least / 0.4)
    found = []
    for (one, a), (other, b) in combinations(zip(sounds, kinds, strict=True), 2):
        if one[1] == other[1] or Levenshtein.distance(a, b, score_cutoff=most) > most:
            continue
        apart = distance(one[2], other[2])
        if apart <= least:
            found.append(Pair(one[0], other[0], (one[1], other[1]), apart))
    return sorted(found, key=lambda pair: (pair.distance, pair.one, pair.other))


def _kind(phone: str) -> str:
    if phone in _VOWELS or phone in _GLIDES:
        return "v"
    places, manners = list(_PLACE), list(_MANNER)
    place, manner = _class(phone, _PLACE), _class(phone, _MANNER)
    return chr(ord("A") + places.index(place) * len(manners) + manners.index(manner))


def heard_phrases(phrases: Phrases, scope: Scope) -> list[tuple[str, str]]:
    """The phrases without slots that recognisers listen for in a scope, with their intents.

    Numbers and names are left out: how alike those sound is not ours to choose.
    """
    out: dict[str, str] = {}
    for template in phrases.templates:
        if template.heard and template.heard_in(scope):
            for line in flat(template.node, phrases.pieces):
                if all(isinstance(item, Word) for item in line):
                    out.setdefault(" ".join(map(str, line)), template.intent)
    return list(out.items())
