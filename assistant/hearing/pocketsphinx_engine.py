"""PocketSphinx behind the port: a strict grammar, with the model that its wheel brings along.

The way of a sound: block -> endpointer -> decoder (one grammar per scope, compiled once and kept)
-> partial texts while it lasts -> final text -> is it a whole phrase of the grammar?
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import pocketsphinx

from assistant.errors import HearingError
from assistant.hearing.endpoint import Endpointer
from assistant.hearing.graph import Graph, compiled, written
from assistant.hearing.patience import LONGEST, Patience
from assistant.hearing.port import RATE, Samples, Utterance, Word
from intents.grammar import Grammar


@dataclass(frozen=True)
class _Compiled:
    search: str
    graph: Graph


class PocketsphinxRecogniser:
    """The embedded engine. Raises `HearingError` where its model can not be loaded."""

    name = "pocketsphinx"

    def __init__(self, patience: Patience | None = None) -> None:
        self.patience = patience or Patience()
        try:
            self._decoder = pocketsphinx.Decoder(lm=None, loglevel="FATAL")
        except RuntimeError as error:
            raise HearingError(
                "The speech model of pocketsphinx can not be loaded; install pocketsphinx again."
            ) from error
        self._endpointer = Endpointer()
        self._compiled: dict[str, _Compiled] = {}
        self._now: _Compiled | None = None
        self._next: _Compiled | None = None
        self._began = 0.0
        self._partial = ""

    def listen_for(self, grammar: Grammar) -> None:
        """Take a grammar; where an utterance is under way, it takes effect at its end."""
        wanted = self._compile(grammar)
        if self._endpointer.speaking:
            self._next = wanted
        else:
            self._switch(wanted)

    def accept(self, block: Samples, at: float) -> Iterator[Utterance]:
        """Hear one block that began at `at` seconds; yield partial and final utterances."""
        if self._now is None:
            raise HearingError("The recogniser has no grammar yet; call listen_for first.")
        step = self._endpointer.hear(block, at)
        if step.began is not None:
            self._began = step.began
            self._partial = ""
            self._decoder.start_utt()
        if not self._endpointer.speaking:
            return
        if len(step.sound):
            self._decoder.process_raw(step.sound.tobytes())
        now = at + len(block) / RATE
        hypothesis = self._decoder.hyp()
        text = hypothesis.hypstr if hypothesis else ""
        if text and text != self._partial:
            self._partial = text
            yield self._utterance(text, step.last_sound, final=False)
        waited = self.patience.over(self._now.graph, tuple(text.split()), step.silence)
        if waited or now - self._began > LONGEST:
            yield from self._end(step.last_sound)

    def flush(self, at: float) -> Iterator[Utterance]:
        """The sound ended: yield the last utterance, if one was under way."""
        if self._endpointer.speaking:
            yield from self._end(at)

    def unknown(self, words: frozenset[str]) -> frozenset[str]:
        """Those of `words` that this engine can not hear (no pronunciation)."""
        return frozenset(word for word in words if self._decoder.lookup_word(word) is None)

    def close(self) -> None:
        self._compiled.clear()
        self._now = self._next = None

    def _end(self, ended: float) -> Iterator[Utterance]:
        self._decoder.end_utt()
        self._endpointer.rest()
        hypothesis = self._decoder.hyp()
        if hypothesis and hypothesis.hypstr:
            yield self._utterance(hypothesis.hypstr, ended, final=True)
        if self._next is not None:
            self._switch(self._next)
            self._next = None

    def _utterance(self, text: str, ended: float, final: bool) -> Utterance:
        assert self._now is not None
        words = tuple(self._words())
        whole = self._now.graph.accepts(tuple(text.split()))
        confidence = min((word.confidence for word in words), default=0.0) if final else 0.5
        return Utterance(
            text,
            words,
            confidence,
            self._began,
            max(ended, self._began),
            final,
            self.name,
            rejected=final and not whole,
        )

    def _words(self) -> Iterator[Word]:
        for segment in self._decoder.seg() or ():
            text = segment.word.split("(")[0]
            if not text or text.startswith(("<", "+", "[")):
                continue
            yield Word(
                text,
                min(1.0, max(0.0, math.exp(min(0.0, segment.prob)))),
                self._began + segment.start_frame / 100,
                self._began + (segment.end_frame + 1) / 100,
            )

    def _compile(self, grammar: Grammar) -> _Compiled:
        key = f"{grammar.name}-{hash((grammar.jsgf, grammar.words)):x}"
        if key in self._compiled:
            return self._compiled[key]
        missing = self.unknown(grammar.words)
        if missing:
            raise HearingError(
                f"The recogniser has no pronunciation for {', '.join(sorted(missing))}; "
                "use other words."
            )
        machine = compiled(grammar, self._decoder)
        self._decoder.add_fsg(key, machine)
        made = _Compiled(key, Graph.parse(written(machine)))
        self._compiled[key] = made
        return made

    def _switch(self, compiled: _Compiled) -> None:
        self._decoder.activate_search(compiled.search)
        self._now = compiled
