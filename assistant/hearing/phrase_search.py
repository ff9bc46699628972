"""Which phrase of a grammar was said, by a network that writes down what it hears.

A network left to itself writes the likeliest sentence of English: in noise it takes "stop" for
"so". Here it is only asked about the phrases in scope: they are followed through the graph of the
grammar piece by piece, the likeliest beginnings kept (a beam).

What the network would believe without hearing anything is taken off: the same pieces are judged for
the noise of the room alone, and `BELIEF` of that is subtracted, so that what is left is what the
sound says (Z. Meng and others, "Internal language model estimation for domain-adaptive end-to-end
speech recognition", SLT 2021, subtract it too, estimated in another way).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from assistant.hearing.graph import Graph
from assistant.hearing.moonshine_net import Floats, Memory, MoonshineNet
from assistant.hearing.moonshine_pieces import END, START, Pieces

BELIEF: Final = 0.65
"""Share of the belief without hearing that is taken off."""

LEAST: Final = -12.0
"""Nothing is believed less likely than this (natural logarithm), or it would be taken off too."""

CHOICE: Final = 0.7
"""Share that counts of what a choice costs: of many words that can come, each is the less likely.
There are a hundred ways to tell of pain, and noise is always like one of them."""

WIDTH: Final = 8
"""Beginnings that are followed at a time."""

BEHIND: Final = 8.0
"""How much less likely than the best phrase a beginning may be and still be followed."""

MANY: Final = 6
"""Phrases that are told of a sound."""

LONGEST: Final = 40
"""Pieces after which nothing is followed: the longest phrases have some 30."""


@dataclass(frozen=True)
class Reading:
    """A phrase that may have been said.

    All are natural logarithms: `likely` is how likely it is in this sound, `heard` how much
    likelier than in the noise of the room, `lead` by how much it is before the best other phrase;
    negative where it is behind.
    """

    words: tuple[str, ...]
    likely: float
    heard: float
    lead: float

    @property
    def text(self) -> str:
        return " ".join(self.words)


_Way = tuple[tuple[int, ...], str, int]
"""A word to come: the pieces that it still needs, the word, the state that it leads to."""


@dataclass(frozen=True)
class _Beginning:
    """Part of a phrase: its score, its likelihood in the sound and in the noise, its whole words,
    the state of the graph that they lead to, and what may become of the pieces behind them: words
    that begin alike are followed as one. `closed` when only the end may come."""

    score: float
    likely: float
    noise: float
    state: int
    words: tuple[str, ...]
    ways: tuple[_Way, ...] = ()
    closed: bool = False


@dataclass(frozen=True)
class _Options:
    """How phrases go on from a state: the next piece, and what may become of it."""

    pieces: NDArray[np.int64]
    ways: tuple[tuple[_Way, ...], ...]

    @classmethod
    def of(cls, ways: Iterable[_Way]) -> _Options:
        by_piece: dict[int, list[_Way]] = {}
        for (piece, *rest), word, state in ways:
            by_piece.setdefault(piece, []).append((tuple(rest), word, state))
        return cls(np.array(list(by_piece), np.int64), tuple(map(tuple, by_piece.values())))


class PhraseSearch:
    """Reads sounds by graphs; one thread at a time. What it finds out about a graph is kept."""

    def __init__(self, net: MoonshineNet, pieces: Pieces) -> None:
        self._net = net
        self._pieces = pieces
        self._options: dict[tuple[int, int, bool, str], _Options] = {}
        self._graphs: dict[int, Graph] = {}

    def read(self, sound: Floats, noise: Floats, graph: Graph) -> tuple[Reading, ...]:
        """The likeliest phrases in a sound, at most `MANY`, best first; `noise` is the room without
        it, both are samples from -1 to 1."""
        found = _Found()
        heard = np.concatenate([self._net.encode(sound), self._net.encode(_as_long(noise, sound))])
        scores, memory = self._net.begin(heard, START)
        beginnings = [_Beginning(0.0, 0.0, 0.0, graph.start, ())]
        for _ in range(LONGEST):
            likely, noisy = scores[0::2], np.maximum(scores[1::2], LEAST)
            going: list[tuple[_Beginning, int, int]] = []
            for row, beginning in enumerate(beginnings):
                going += self._after(beginning, row, likely[row], noisy[row], graph, found)
            going.sort(key=lambda one: -one[0].score)
            going = [one for one in going[:WIDTH] if one[0].score > found.best - BEHIND]
            beginnings = [one for one, _, _ in going]
            if not beginnings:
                break
            rows, pieces = [row for _, row, _ in going], [piece for _, _, piece in going]
            scores, memory = self._step(rows, pieces, memory)
        return found.readings()

    def _step(self, rows: list[int], pieces: list[int], memory: Memory) -> tuple[Floats, Memory]:
        """Each beginning goes on by a piece, in the sound and in the noise."""
        both = [2 * row + ear for row in rows for ear in (0, 1)]
        return self._net.step([piece for piece in pieces for _ in (0, 1)], memory.rows(both))

    def _after(
        self,
        beginning: _Beginning,
        row: int,
        likely: Floats,
        noisy: Floats,
        graph: Graph,
        found: _Found,
    ) -> Iterator[tuple[_Beginning, int, int]]:
        """How a beginning goes on, as beginnings with its row and their last pieces; a phrase that
        ends here is `found`."""

        def on(
            piece: int, belief: float, cost: float = 0.0, **change: Any
        ) -> tuple[_Beginning, int, int]:
            this, that = float(likely[piece]), float(noisy[piece])
            longer = replace(
                beginning,
                score=beginning.score + this - belief * that - CHOICE * cost,
                likely=beginning.likely + this,
                noise=beginning.noise + that,
                **change,
            )
            return longer, row, piece

        for rest, word, state in beginning.ways:
            if not rest:
                longer = (*beginning.words, word)
                whole = replace(beginning, words=longer, state=state, ways=())
                yield from self._after(whole, row, likely, noisy, graph, found)
        words = beginning.words
        goes_on = 0.0
        if beginning.ways:
            options = _Options.of(way for way in beginning.ways if way[0])
        else:
            at_end_of_phrase = bool(words) and beginning.state in graph.whole
            ends, goes_on = choices(graph, beginning.state, words)
            if beginning.closed or at_end_of_phrase:
                found.add(on(END, 0.0, 0.0 if beginning.closed else ends)[0])
            if beginning.closed:
                return
            # Marks say nothing about the words, so there is no belief to be taken off.
            if words:
                yield on(self._pieces.comma, 0.0)
            if at_end_of_phrase:
                for mark in self._pieces.closing:
                    yield on(mark, 0.0, ends, closed=True)
            options = self._options_at(graph, beginning.state, words)
        gains = likely[options.pieces] - BELIEF * noisy[options.pieces]
        for at in np.argsort(-gains)[:WIDTH]:
            yield on(int(options.pieces[at]), BELIEF, goes_on, ways=options.ways[at])

    def _options_at(self, graph: Graph, state: int, words: tuple[str, ...]) -> _Options:
        behind = words[-1] if words else ""
        key = (id(graph), state, not words, behind)
        if key not in self._options:
            # A graph is known by where it lies, so it must go on lying there.
            self._graphs[id(graph)] = graph
            self._options[key] = _Options.of(
                (pieces, word, after)
                for word, after in graph.steps[state].items()
                for pieces in self._pieces.spellings(word, not words, behind)
            )
        return self._options[key]


class _Found:
    """Phrases that came to their end, each with the scores of all its spellings together."""

    def __init__(self) -> None:
        self._phrases: dict[tuple[str, ...], NDArray[np.float64]] = {}
        self.best = -np.inf

    def add(self, whole: _Beginning) -> None:
        scores = np.array([whole.score, whole.likely, whole.noise])
        if whole.words in self._phrases:
            scores = np.logaddexp(self._phrases[whole.words], scores)
        self._phrases[whole.words] = scores
        self.best = max(self.best, scores[0])

    def readings(self) -> tuple[Reading, ...]:
        ranked = sorted(self._phrases.items(), key=lambda one: -one[1][0])[:MANY]
        best = ranked[0][1][0] if ranked else 0.0
        second = ranked[1][1][0] if len(ranked) > 1 else -np.inf
        out = []
        for place, (words, (score, likely, noise)) in enumerate(ranked):
            lead = score - (best if place else second)
            out.append(Reading(words, float(likely), float(likely - noise), float(lead)))
        return tuple(out)


def choices(graph: Graph, state: int, words: tuple[str, ...]) -> tuple[float, float]:
    """What it costs to end in a state, and to go on with one of its words (natural logarithms):
    either is as likely, and so is each of the words. The first word costs nothing, nor does what
    must follow."""
    many = len(graph.steps[state])
    if not words or not many:
        return 0.0, 0.0
    either = float(np.log(2)) if state in graph.whole else 0.0
    return either, either + float(np.log(many))


def _as_long(noise: Floats, sound: Floats) -> Floats:
    return np.resize(noise, len(sound)) if len(noise) else np.zeros_like(sound)
