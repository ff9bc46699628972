"""From words to meanings, and whether to act on them.

The whole of what was said must be made of phrases: one, or several that the language's data says
belong together, with polite words round them. What is not is let pass. An understanding's
confidence is how sure we are of its meanings:

- phrases matched exactly: the confidence that the recogniser gave (1.0 for typed text);
- a phrase nearly matched (one slip of a word, never in a number, a negation, a one-word command
  or a stop): that, times the similarity of the two texts (0 to 1) less a fifth;
- `none`: 1 less the confidence of the best that it might have been in scope.

The decision follows from confidence and cost. A safety meaning acts, always. Otherwise an exact
match acts from ACT upwards and is asked about from ASK upwards; an intent that costs too much to be
wrong (ending the session) is asked about from ASK upwards, a near match and an answer (yes or no)
from NEAR upwards; the rest passes.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from functools import cached_property

from intents.meaning import SAFETY_IDS, Decision, Meaning, SlotValue, Understanding
from intents.near import Near, Neighbours
from intents.phrases import Phrases, Template
from intents.scope import EVERYTHING, Scope
from intents.trie import Reader, Tokens, Trie, Values
from intents.vocabulary import Vocabulary

ACT = 0.55
ASK = 0.2
NEAR = 0.35
"""More than ASK: for near matches two doubts, of the sound and of the words, come together; and who
is asked whether he answered answers with the same words."""
WITHIN = 0.7
"""Confidence of a report of pain found inside other speech."""

MOST_WORDS = 150
"""Nobody commands in more; past it only reports of pain or of being unwell are looked for."""
LONGEST_TEXT = 2_000
"""Characters of a text that are read: fewer than the digits that Python makes a number of."""

SEVERITY = ("unwell", "pain", "stop")
"""Safety meanings, the gravest first."""


@dataclass(frozen=True)
class _Segment:
    """One phrase found in the tokens."""

    template: Template
    values: Values
    rank: int
    start: int


@dataclass(frozen=True)
class _Parse:
    """A way to make a text of phrases; the least cost wins: fewest phrases, then fewest words
    round them, then phrases that tell the gravest or answer the question asked, then phrases in
    scope, then the most values read."""

    cost: tuple[int, int, int, int]
    segments: tuple[_Segment, ...]

    def after(self, skipped: int) -> _Parse:
        phrases, already, rank, unread = self.cost
        return _Parse((phrases, already + skipped, rank, unread), self.segments)

    def behind(self, segment: _Segment) -> _Parse:
        phrases, skipped, rank, unread = self.cost
        cost = (phrases + 1, skipped, rank + segment.rank, unread - len(segment.values))
        return _Parse(cost, (segment, *self.segments))


_END = _Parse((0, 0, 0, 0), ())


class Understander:
    """Understands one language with one vocabulary; made once, it is not changed by use."""

    def __init__(self, phrases: Phrases, vocabulary: Vocabulary) -> None:
        self.phrases = phrases
        self.vocabulary = vocabulary
        self._kit = phrases.kit(vocabulary)
        self._trie: Trie[Template] = Trie()
        for template in phrases.templates:
            for line in phrases.folded_lines(template.node):
                self._trie.add(line, template)
        split = phrases.speller.tokens
        words = phrases.words
        self._own = frozenset(split(text) for text in words.own)
        self._elsewhere = frozenset(split(text) for text in words.elsewhere)
        self._lead = frozenset(split(text) for text in (*words.lead, *words.between))
        self._tail = frozenset(split(text) for text in words.tail)
        self._turning = phrases.words.turning
        self._turning_back = frozenset(split(text) for text in words.turning_back)
        self._longest = max(len(tokens) for tokens in self._lead | self._tail)

    @cached_property
    def _neighbours(self) -> Neighbours:
        return Neighbours(self.phrases, self._kit.readers)

    def understand(
        self, text: str, scope: Scope = EVERYTHING, confidence: float = 1.0
    ) -> Understanding:
        """What a text means in a scope. `confidence` (0 to 1) is the recogniser's own."""
        tokens = self.tokens(text[:LONGEST_TEXT])
        parse = self._parse(tokens, scope)
        if parse is not None:
            return self._decided(text, parse, scope, confidence)
        reports = self._reports(tokens)
        if reports:
            return Understanding(text, reports, min(confidence, WITHIN), "act")
        near = self._neighbours.nearest(tokens, scope) if 0 < len(tokens) <= MOST_WORDS else None
        if near is not None:
            return self._asked(text, near, scope, confidence)
        return _nothing(text)

    def tokens(self, text: str) -> Tokens:
        """The words of a text as they are matched."""
        return self.phrases.speller.tokens(text)

    def reader(self, name: str) -> Reader:
        """What reads a slot of this name, such as `equipment`."""
        return self._kit.readers[name]

    def is_instant(self, understanding: Understanding) -> bool:
        """Whether it acts on a partial hypothesis and over speech."""
        return understanding.decision == "act" and any(
            meaning.id != "none" and self.phrases.intents[meaning.id].cost == "instant"
            for meaning in understanding.meanings
        )

    def could_grow(self, text: str, scope: Scope = EVERYTHING) -> bool:
        """Whether more words, of those that recognisers listen for, could change the meaning.

        False where the text is whole and every longer phrase in scope means the same ("stop", "stop
        now"), and where nothing in scope begins with it. A further phrase behind a whole one
        ("done", "effort eight") is a meaning of its own and does not count.
        """
        tokens = self.tokens(text)
        whole = self._parse(tokens, scope)
        last = whole.segments[-1] if whole else None
        for start in self._starts(tokens, last):
            for template in self._trie.beyond(tokens, start, self._kit):
                if not (template.heard and template.heard_in(scope)):
                    continue
                if start == len(tokens) or last is None:
                    return True
                if template.intent != last.template.intent or template.readers:
                    return True
        return False

    def _starts(self, tokens: Tokens, last: _Segment | None) -> Iterator[int]:
        """Positions where the last phrase of a text may have begun or may begin.

        In a text that is whole that is where its last phrase did, or behind it where that could be
        no more than polite words before another ("okay").
        """
        first = last.start if last else 0
        open_ends, seen = [first], {first}
        while open_ends:
            at = open_ends.pop()
            yield at
            ends = [at + n for n in self._skips(tokens, at, self._lead)]
            if last is None:
                phrases = self._trie.walk(tokens, at, self._kit)
                ends += [end for end, _, _ in phrases if at < end < len(tokens)]
            for end in ends:
                if end not in seen:
                    seen.add(end)
                    open_ends.append(end)

    def _skips(self, tokens: Tokens, at: int, small: frozenset[Tokens]) -> Iterator[int]:
        for length in range(1, min(self._longest, len(tokens) - at) + 1):
            if tokens[at : at + length] in small:
                yield length

    def _parse(self, tokens: Tokens, scope: Scope) -> _Parse | None:
        """The best way to make the whole text of phrases, where it is no longer than a command."""
        if len(tokens) > MOST_WORDS:
            return None
        front: dict[int, _Parse | None] = {}
        behind: dict[int, _Parse | None] = {}

        def before_phrase(at: int) -> _Parse | None:
            if at not in front:
                front[at] = None
                found = [
                    rest.after(n)
                    for n in self._skips(tokens, at, self._lead)
                    if (rest := before_phrase(at + n)) is not None
                ]
                for end, templates, values in self._trie.walk(tokens, at, self._kit):
                    rest = after_phrase(end)
                    if rest is not None and not self._turned(tokens, end, rest):
                        found += [
                            rest.behind(_Segment(template, values, _rank(template, scope), at))
                            for template in templates
                            if template.bare is None or template.heard_in(scope)
                        ]
                front[at] = min(found, key=lambda parse: parse.cost, default=None)
            return front[at]

        def after_phrase(at: int) -> _Parse | None:
            if at == len(tokens):
                return _END
            if at not in behind:
                found = [
                    rest.after(n)
                    for n in self._skips(tokens, at, self._tail)
                    if (rest := after_phrase(at + n)) is not None
                ]
                if (rest := before_phrase(at)) is not None:
                    found.append(rest)
                behind[at] = min(found, key=lambda parse: parse.cost, default=None)
            return behind[at]

        return before_phrase(0)

    def _turned(self, tokens: Tokens, end: int, rest: _Parse) -> bool:
        """Whether a phrase and the one behind it would turn one another's meaning round."""
        if not rest.segments:
            return False
        behind = tokens[rest.segments[0].start :]
        return tokens[end - 1] in self._turning or any(
            behind[: len(one)] == one for one in self._turning_back
        )

    def _decided(self, text: str, parse: _Parse, scope: Scope, confidence: float) -> Understanding:
        said = list(
            dict.fromkeys(
                meaning
                for segment in parse.segments
                if segment.template.heard_in(scope)
                for meaning in _meanings(segment.template, segment.values, scope)
            )
        )
        ids = [meaning.id for meaning in said]
        together = all(
            one == other or frozenset((one, other)) in self.phrases.pairs
            for at, one in enumerate(ids)
            for other in ids[at + 1 :]
        )
        safety = sorted((m for m in said if m.id in SAFETY_IDS), key=lambda m: SEVERITY.index(m.id))
        if safety:
            rest = [
                m
                for m in said
                if m.id not in SAFETY_IDS
                and self.phrases.intents[m.id].cost != "asked"
                and all(frozenset((m.id, one.id)) in self.phrases.pairs for one in safety)
            ]
            return Understanding(text, (*safety, *rest), confidence, "act")
        if not said or not together:
            return _nothing(text)
        costs = {self.phrases.intents[i].cost for i in ids}
        decision: Decision = "pass"
        if confidence >= (NEAR if "answer" in costs else ASK):
            decision = "confirm" if "asked" in costs or confidence < ACT else "act"
        if decision == "pass":
            return _nothing(text, 1 - confidence)
        return Understanding(text, tuple(said), confidence, decision)

    def _asked(self, text: str, near: Near, scope: Scope, confidence: float) -> Understanding:
        sure = confidence * max(0.0, near.similarity - 0.2)
        meanings = _meanings(near.template, near.values, scope)
        if near.template.intent in SAFETY_IDS:
            return Understanding(text, meanings, sure, "act")
        if sure < NEAR:
            return _nothing(text, 1 - sure)
        return Understanding(text, meanings, sure, "confirm")

    def _reports(self, tokens: Tokens) -> tuple[Meaning, ...]:
        """Reports of pain or of being unwell inside speech that is otherwise not for us.

        Only where nothing round them says that they are about somebody or some time else.
        """
        found: list[Meaning] = []
        round_them: list[str] = []
        at = 0
        while at < len(tokens):
            best: tuple[int, tuple[Meaning, ...]] | None = None
            for end, templates, values in self._trie.walk(tokens, at, self._kit):
                ours = not self._own or _any_in(tokens[at:end], self._own)
                for template in templates:
                    if ours and template.within and (best is None or end > best[0]):
                        best = end, _meanings(template, values, EVERYTHING)
            if best is None:
                round_them.append(tokens[at])
                at += 1
            else:
                at = best[0]
                found += best[1]
        if not found or _any_in(tuple(round_them), self._elsewhere):
            return ()
        unique = dict.fromkeys(found)
        return tuple(sorted(unique, key=lambda meaning: SEVERITY.index(meaning.id)))


def _rank(template: Template, scope: Scope) -> int:
    if template.bare or template.intent == SEVERITY[0]:
        return 0
    return 1 if template.heard_in(scope) else 2


def _any_in(tokens: Tokens, parts: Collection[Tokens]) -> bool:
    """Whether one of the parts stands in the tokens."""
    return any(tokens[at : at + len(part)] == part for part in parts for at in range(len(tokens)))


def _nothing(text: str, confidence: float = 1.0) -> Understanding:
    return Understanding(text, (Meaning("none"),), confidence, "pass")


def _meanings(template: Template, values: Values, scope: Scope) -> tuple[Meaning, ...]:
    """One meaning with all slots; where a slot was read more than once, one for each value."""
    slots: list[dict[str, SlotValue]] = [{}]
    for slot, value in values:
        for name in slot.names:
            if name == "_":
                continue
            key = scope.bare_unit if name == "amount" else name
            if key in slots[-1]:
                slots.append({})
            slots[-1][key] = value
    return tuple(Meaning(template.intent, given) for given in slots)
