"""Phrases that resemble what was said: one word misheard, or a small word lost or added.

Numbers and names are read first, strictly, and stand in both texts as marks; only the words round
them may differ. Never near: short phrases, phrases whose intent says so, a text with more or
fewer negations than the phrase, and a slip that turns one word of the language into another.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import islice
from unicodedata import normalize

from rapidfuzz import fuzz, process
from rapidfuzz.distance import Levenshtein

from intents.meaning import SlotValue
from intents.phrases import Phrases, Template
from intents.scope import Scope
from intents.template import Line, Piece, Slot, Word, flat
from intents.trie import Reader, Tokens, Values

LEAST = 84.0
"""Least similarity (rapidfuzz ratio, 0 to 100) of a near phrase."""

OUT_OF_SCOPE = 0.92
"""What the similarity of a phrase counts that is not in scope: it may win, and then all passes."""

MARGIN = 3.0
"""How far the best phrase must lie before the best of another intent."""

SLIP = 72.0
"""Least similarity of a misheard word to the word that was meant."""

MOST = 300
"""Ways through one template that are compared; the first ones, for those that have more."""

SHORT = 10
"""Letters that a phrase of two words must have: shorter ones resemble too much."""

FEW = 5
"""Tokens that a phrase must have where they are no words but syllables."""

_MARKS = (("seconds", "\u00a7"), ("count", "#"), ("equipment", "@"), ("part", "%"))
_MARK_OF = dict(_MARKS) | {"the_equipment": "@", "my_part": "%"}
_NUMBER = "#"
"""The mark of every other reader: they read whole numbers."""


@dataclass(frozen=True)
class Near:
    """A phrase that was nearly said; `similarity` is 0 to 1."""

    template: Template
    values: Values
    similarity: float


class Neighbours:
    """All phrases of two words or more, ready for comparison."""

    def __init__(self, phrases: Phrases, readers: Mapping[str, Reader]) -> None:
        self._readers = readers
        self._spaced = phrases.words.spaced
        self._small = phrases.words.small
        self._negations = phrases.words.negations
        self._lines: list[tuple[Template, Line, Tokens]] = []
        self._texts: list[str] = []
        known: set[str] = set()
        for template in phrases.templates:
            for line in islice(flat(template.node, phrases.pieces), MOST):
                folded = phrases.folded(line)
                words = tuple(str(_mark(item)) for item in folded)
                known.update(words)
                if self._is_long(words) and phrases.intents[template.intent].near:
                    self._lines.append((template, folded, words))
                    self._texts.append(" ".join(words))
        self._known = frozenset(known)

    def _is_long(self, words: Tokens) -> bool:
        if not self._spaced:
            return len(words) >= FEW
        return len(words) > 2 or (len(words) == 2 and sum(map(_letters, words)) >= SHORT)

    def nearest(self, tokens: Tokens, scope: Scope) -> Near | None:
        """The phrase in scope that the tokens nearly are, if one stands out."""
        best: dict[str, tuple[float, Near]] = {}
        if len(tokens) < 2:
            return None
        for words, read in self._readings(tokens):
            hits = process.extract(
                " ".join(words), self._texts, scorer=fuzz.ratio, score_cutoff=LEAST, limit=40
            )
            for _, score, index in hits:
                template, line, wanted = self._lines[index]
                if template.bare and not template.heard_in(scope):
                    continue
                if not self._slips(words, wanted):
                    continue
                values = self._fill(line, read)
                if values is None:
                    continue
                weighted = score if template.heard_in(scope) else score * OUT_OF_SCOPE
                if weighted > best.get(template.intent, (0.0,))[0]:
                    best[template.intent] = weighted, Near(template, values, score / 100)
        ranked = sorted(best.values(), key=lambda found: -found[0])
        if not ranked or not ranked[0][1].template.heard_in(scope):
            return None
        if len(ranked) > 1 and ranked[0][0] - ranked[1][0] < MARGIN:
            return None
        return ranked[0][1]

    def _readings(self, tokens: Tokens) -> list[tuple[Tokens, list[tuple[str, SlotValue]]]]:
        """The tokens as they are, and with everything that can be read marked."""
        words: list[str] = []
        read: list[tuple[str, SlotValue]] = []
        at = 0
        while at < len(tokens):
            for reader, mark in _MARKS:
                longest = max(
                    self._readers[reader].read(tokens, at), key=lambda r: r[0], default=None
                )
                if longest is not None:
                    words.append(mark)
                    read.append((mark, longest[1]))
                    at = longest[0]
                    break
            else:
                words.append(tokens[at])
                at += 1
        readings: list[tuple[Tokens, list[tuple[str, SlotValue]]]] = [(tokens, [])]
        if read:
            readings.append((tuple(words), read))
        return readings

    def _slips(self, said: Tokens, wanted: Tokens) -> bool:
        """Whether the two differ by one misheard word, or one small word lost or added."""
        if [w for w in said if w in self._negations] != [w for w in wanted if w in self._negations]:
            return False
        edits = Levenshtein.editops(said, wanted).as_list()
        if len(edits) != 1:
            return False
        tag, source, target = str(edits[0][0]), int(edits[0][1]), int(edits[0][2])
        if tag == "delete":
            return said[source] in self._small
        if tag == "insert":
            return wanted[target] in self._small
        heard, meant = said[source], wanted[target]
        if not self._spaced:
            # One syllable for another that shares all its letters but one (Unicode NFD parts them).
            return Levenshtein.distance(normalize("NFD", heard), normalize("NFD", meant)) == 1
        if heard in self._known or min(len(heard), len(meant)) < 4:
            return False
        return fuzz.ratio(heard, meant) >= SLIP

    def _fill(self, line: Line, read: list[tuple[str, SlotValue]]) -> Values | None:
        """The values read, given to the slots in order; None where they do not fit."""
        slots = [item for item in line if isinstance(item, Slot)]
        if [_mark(slot) for slot in slots] != [mark for mark, _ in read]:
            return None
        values = []
        for slot, (_, value) in zip(slots, read, strict=True):
            if slot.reader in ("rpe", "level") and not 0 <= int(value) <= 10:
                return None
            values.append((slot, int(value) * 60 if slot.reader == "minutes" else value))
        return tuple(values)


def _letters(word: str) -> int:
    """How much a word tells two phrases apart; a value as much as a word of five letters."""
    return len(word) if word.isalpha() else 5


def _mark(item: Word | Slot | Piece) -> str:
    return _MARK_OF.get(item.reader, _NUMBER) if isinstance(item, Slot) else str(item)
