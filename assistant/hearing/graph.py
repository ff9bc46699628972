"""A grammar as a graph of words: which texts are whole, and which can go on.

The graph is read from the finite-state form (FSG) that PocketSphinx compiles a JSGF grammar to, so
that it says about a text exactly what the decoder would.

>>> graph = Graph.parse('''FSG_BEGIN <g>
... NUM_STATES 3
... START_STATE 0
... FINAL_STATE 2
... TRANSITION 0 1 0.5 start
... TRANSITION 1 2 1.0
... TRANSITION 1 2 1.0 over
... FSG_END''')
>>> graph.accepts(("start",)), graph.goes_on(("start",))
(True, True)
>>> graph.accepts(("start", "over")), graph.goes_on(("start", "over"))
(True, False)
>>> graph.accepts(("over",))
False
"""

from __future__ import annotations

import os
import random
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pocketsphinx

from assistant.errors import HearingError
from intents.grammar import Grammar


@dataclass(frozen=True)
class Graph:
    """States are numbers; `words[state]` are the steps by a word, `jumps[state]` those by none."""

    start: int
    final: int
    words: Mapping[int, Mapping[str, frozenset[int]]]
    jumps: Mapping[int, frozenset[int]]

    @classmethod
    def of(cls, grammar: Grammar) -> Graph:
        """The graph of a grammar, compiled by PocketSphinx's own JSGF parser.

        Raises HearingError where the JSGF is not valid.
        """
        return cls.parse(written(compiled(grammar, _parser())))

    @classmethod
    def parse(cls, text: str) -> Graph:
        """Read the text form of an FSG (CMU Sphinx: FSG_BEGIN … TRANSITION … FSG_END)."""
        start = final = 0
        words: dict[int, dict[str, set[int]]] = {}
        jumps: dict[int, set[int]] = {}
        for line in text.splitlines():
            match line.split():
                case ["START_STATE", number]:
                    start = int(number)
                case ["FINAL_STATE", number]:
                    final = int(number)
                case ["TRANSITION", source, target, _]:
                    jumps.setdefault(int(source), set()).add(int(target))
                case ["TRANSITION", source, target, _, word]:
                    steps = words.setdefault(int(source), {})
                    steps.setdefault(word, set()).add(int(target))
        if not words:
            raise HearingError("A grammar holds no words; give it at least one phrase.")
        return cls(
            start,
            final,
            {s: {w: frozenset(t) for w, t in steps.items()} for s, steps in words.items()},
            {s: frozenset(t) for s, t in jumps.items()},
        )

    def after(self, text: tuple[str, ...]) -> frozenset[int]:
        """The states that can be reached by these words; none where they do not fit."""
        here = self._closed(frozenset({self.start}))
        for word in text:
            here = self._closed(
                frozenset(
                    target for state in here for target in self.words.get(state, {}).get(word, ())
                )
            )
        return here

    def accepts(self, text: tuple[str, ...]) -> bool:
        """Whether the words are a whole phrase."""
        return bool(text) and self.final in self.after(text)

    def goes_on(self, text: tuple[str, ...]) -> bool:
        """Whether a longer phrase begins with these words."""
        return bool(self.next_words(text))

    def next_words(self, text: tuple[str, ...]) -> frozenset[str]:
        """The words that can follow."""
        return frozenset(word for state in self.after(text) for word in self.words.get(state, {}))

    def vocabulary(self) -> frozenset[str]:
        return frozenset(word for steps in self.words.values() for word in steps)

    def sentence(self, chance: random.Random) -> tuple[str, ...]:
        """One phrase of the grammar, picked by walking it at random."""
        while True:
            state = self.start
            text: list[str] = []
            for _ in range(1000):
                if (
                    state == self.final
                    and text
                    and (chance.random() < 0.5 or not self._leaves(state))
                ):
                    return tuple(text)
                steps: list[tuple[str, int]] = [
                    (word, target)
                    for word, targets in sorted(self.words.get(state, {}).items())
                    for target in sorted(targets)
                ]
                steps += [("", target) for target in sorted(self.jumps.get(state, ()))]
                if not steps:
                    break
                word, state = chance.choice(steps)
                if word:
                    text.append(word)

    def _leaves(self, state: int) -> bool:
        return bool(self.words.get(state) or self.jumps.get(state))

    def _closed(self, states: frozenset[int]) -> frozenset[int]:
        seen, todo = set(states), list(states)
        while todo:
            for target in self.jumps.get(todo.pop(), ()):
                if target not in seen:
                    seen.add(target)
                    todo.append(target)
        return frozenset(seen)


def compiled(grammar: Grammar, decoder: pocketsphinx.Decoder) -> pocketsphinx.FsgModel:
    """The grammar as PocketSphinx's finite-state machine. Raises HearingError where not valid."""
    try:
        return decoder.parse_jsgf(grammar.jsgf)
    except ValueError as error:
        raise HearingError(
            f"The grammar {grammar.name!r} is no valid JSGF; check its phrases."
        ) from error


def written(machine: pocketsphinx.FsgModel) -> str:
    """The text form of a finite-state machine; the library writes it to files only."""
    with tempfile.TemporaryDirectory(prefix="cuewalk-") as folder:
        path = Path(folder) / "grammar.fsg"
        machine.writefile(str(path))
        return path.read_text(encoding="utf-8")


@cache
def _parser() -> pocketsphinx.Decoder:
    """A decoder that only parses: without its dictionary it is small."""
    return pocketsphinx.Decoder(lm=None, dict=os.devnull, loglevel="FATAL")
