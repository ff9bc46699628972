"""PocketSphinx behind the port, with the model that its wheel brings along: two decoders.

The way of a sound: block -> endpointer -> both decoders -> partial texts while it lasts -> final
text. The strict decoder knows the grammar of the scope and nothing else, so it answers to any
speech with a phrase. The open one knows everyday words as well. A text stands only where it is a
whole phrase and the two agree on it, sound by sound.

Grammars are compiled once and kept, so that changing between scopes costs next to nothing.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Final

import numpy as np
import pocketsphinx

from assistant.errors import HearingError
from assistant.hearing.adaptation import START_MEAN, Adapted
from assistant.hearing.agreement import calibration, difference
from assistant.hearing.alignment import Aligner
from assistant.hearing.decoys import decoys, frequencies
from assistant.hearing.endpoint import Endpointer, LoudnessEndpointer
from assistant.hearing.graph import Graph
from assistant.hearing.open_model import arpa, loaded
from assistant.hearing.patience import LONGEST, Patience
from assistant.hearing.port import OVER_COACH, RATE, Samples, Utterance, Word
from assistant.hearing.pronounce import pronounce
from intents.grammar import Grammar

DECOYS: Final = 800
"""Everyday words of the open decoder: enough that it has a word like anything that is said; more
cost time and are no safer."""

PARTLY: Final = 0.5
"""Share of the allowed difference that a partial text may have: the start of a long sentence about
other things often sounds like a short command."""

MOST_STATES: Final = 1000
"""States of words that a decoder follows at most in a frame: in noise nearly all seem possible, and
following more costs time and hears nothing better."""

HISS: Final = 4.0
"""Root mean square of the noise added to every block, in units of the 16-bit scale. Some devices
give digital silence between words, whose features are none that the model knows."""

CLEAR: Final = 33.0
"""Decibels by which an utterance must stand out of the noise for its sound to say that it is the
phrase, whatever else may have been heard: in noise every text fits about as well as another. In a
quiet room utterances are at 45 and more, in kitchen noise at 12 dB hardly any is at 33."""

_VARIANTS: Final = ("", "(2)", "(3)", "(4)", "(5)")


_Segment = tuple[str, int, int]
"""A word as the dictionary has it, its first and its last frame (10 ms)."""


@dataclass(frozen=True)
class _Reading:
    """What the two decoders make of an utterance: whether it is a whole phrase, how far apart they
    are, and the confidence that follows."""

    whole: bool
    apart: float
    confidence: float


@dataclass(frozen=True)
class _Compiled:
    search: str
    graph: Graph
    model: pocketsphinx.NGramModel
    tail: frozenset[str]


class PocketsphinxRecogniser:
    """The embedded engine; `adapted` is what is known of the athlete's voice.

    Raises `HearingError` where its model can not be loaded.
    """

    name = "pocketsphinx"
    over_coach = OVER_COACH

    def __init__(self, patience: Patience | None = None, adapted: Adapted | None = None) -> None:
        self.patience = patience or Patience()
        self._adapted = adapted or Adapted()
        self._everyday = {word: frequencies("en")[word] for word in decoys("en", DECOYS)}
        try:
            self._strict = pocketsphinx.Decoder(lm=None, **self._settings())
            self._open = self._small_decoder(self._everyday)
        except RuntimeError as error:
            raise HearingError(
                "The speech model of pocketsphinx can not be loaded; install pocketsphinx again."
            ) from error
        self._calibration = calibration(PocketsphinxRecogniser.name)
        self._endpointer: Endpointer = LoudnessEndpointer()
        self._kept: dict[tuple[str, str], _Compiled] = {}
        self._now: _Compiled | None = None
        self._next: _Compiled | None = None
        self._began = 0.0
        self._partial = ("", "")
        for decoder in (self._strict, self._open):
            decoder.set_cmn(START_MEAN)
        # One block of hiss, the same each time: the same sound is always heard the same.
        self._hiss = np.random.default_rng(0).normal(0.0, HISS, RATE).round().astype(np.int16)
        self._clear = True
        """The last utterance stood clearly out of the noise."""
        self._heard: list[Samples] = []
        """The utterance under way."""
        self.ratio: float | None = None
        """How well the last whole phrase fitted, for calibration; None where that was not told."""
        self.apart = -1.0
        """How far the two readings of the last whole phrase differed, for calibration; negative
        where there was none."""

    @cached_property
    def _aligner(self) -> Aligner:
        return Aligner(self._settings(), self._sound_of)

    @property
    def speaking(self) -> bool:
        """Whether an utterance is under way."""
        return self._endpointer.speaking

    def listen_for(self, grammar: Grammar) -> None:
        """Take a grammar; where an utterance is under way, it takes effect at its end.

        Raises HearingError where the JSGF is not valid or a word has no pronunciation.
        """
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
            self._partial = ("", "")
            self._heard.clear()
            self._strict.start_utt()
            self._open.start_utt()
        if not self._endpointer.speaking:
            return
        if len(step.sound):
            sound = self._with_hiss(step.sound)
            self._heard.append(sound)
            self._strict.process_raw(sound.tobytes())
            self._open.process_raw(sound.tobytes())
        text, free = _text(self._strict), _text(self._open)
        if text and (text, free) != self._partial:
            self._partial = (text, free)
            yield self._partly(text, step.last_sound)
        now = at + len(block) / RATE
        silence = self._certain(step.silence)
        said = self._said(text, silence)
        waited = self.patience.over(self._now.graph, said, silence, self._now.tail)
        if waited or now - self._began > LONGEST:
            yield from self._end(step.last_sound)

    def _with_hiss(self, sound: Samples) -> Samples:
        hiss = np.resize(self._hiss, len(sound)).astype(np.int32)
        mixed: Samples = np.clip(sound + hiss, -32_768, 32_767).astype(np.int16)
        return mixed

    def flush(self, at: float) -> Iterator[Utterance]:
        """The sound ended: yield the last utterance, if one was under way."""
        if self._endpointer.speaking:
            yield from self._end(at)

    def unknown(self, words: frozenset[str], spaced: bool = True) -> frozenset[str]:
        """Those of `words` that this engine can not hear (no pronunciation)."""
        return frozenset(word for word in words if self._sound_of(word) is None)

    def close(self) -> None:
        self._kept.clear()
        self._now = self._next = None

    def _certain(self, silence: float) -> float:
        """How much of so many seconds of silence counts."""
        return silence

    def _said(self, text: str, silence: float) -> tuple[str, ...]:
        """The words so far, behind so many seconds of silence: they tell whether more may come."""
        return tuple(text.split())

    def _end(self, ended: float) -> Iterator[Utterance]:
        self._strict.end_utt()
        self._open.end_utt()
        self._clear = self._endpointer.margin >= CLEAR
        self._endpointer.rest()
        yield from self._finally(ended)
        if self._next is not None:
            self._switch(self._next)
            self._next = None

    def _partly(self, text: str, ended: float) -> Utterance:
        """The utterance so far."""
        reading = self._reading(list(_segments(self._strict)), list(_segments(self._open)))
        is_phrase = reading.whole and reading.apart <= self._calibration.most * PARTLY
        return self._utterance(text, (), reading.confidence, ended, is_phrase)

    def _finally(self, ended: float) -> Iterator[Utterance]:
        """The utterance at its end, if there was anything in it."""
        strict, free = list(_segments(self._strict)), list(_segments(self._open))
        if not strict and not free:
            return
        if not self._whole(strict):
            strict = self._mended(strict, free)
        reading = self._reading(strict, free)
        self.apart = reading.apart if reading.whole else -1.0
        is_phrase = reading.whole
        if is_phrase:
            # Only at the end: it takes too long for every partial text.
            self.ratio = self._aligner.ratio(
                _spelled(strict), _spelled(free), self._sound(), self._strict.get_cmn(False)
            )
            is_phrase = self._calibration.is_phrase(reading.apart, self.ratio, self._clear)
        words = tuple(self._words(strict, reading.confidence))
        yield self._utterance(_spelled(strict), words, reading.confidence, ended, is_phrase, True)

    def _reading(self, strict: list[_Segment], free: list[_Segment]) -> _Reading:
        whole = self._whole(strict)
        apart = difference(self._phones(_entries(strict)), self._phones(_entries(free)))
        worth = self._calibration.worth(min(apart, self._calibration.most)) if whole else 0.0
        return _Reading(whole, apart, worth)

    def _phones_heard(self) -> tuple[list[str], list[str]]:
        """What the strict and the open decoder heard so far, sound by sound."""
        strict, free = (
            self._phones(_entries(_segments(decoder))) for decoder in (self._strict, self._open)
        )
        return strict, free

    def _sound(self) -> Samples:
        """The utterance as it was heard so far."""
        return np.concatenate(self._heard)

    def _utterance(
        self,
        text: str,
        words: tuple[Word, ...],
        confidence: float,
        ended: float,
        is_phrase: bool,
        final: bool = False,
    ) -> Utterance:
        return Utterance(
            text,
            words,
            confidence,
            self._began,
            max(ended, self._began),
            final,
            self.name,
            rejected=not is_phrase,
            over_coach=self.over_coach,
        )

    def _whole(self, segments: list[_Segment]) -> bool:
        assert self._now is not None
        return self._now.graph.accepts(tuple(_spelled(segments).split()))

    def _mended(self, strict: list[_Segment], free: list[_Segment]) -> list[_Segment]:
        """What was heard where the strict decoder did not come to the end of a phrase.

        Now and then it takes a breath behind "finish" for the next word of a longer phrase ("finish
        the"), or finds no way to an end, while the open decoder heard a phrase among all words.
        """
        if self._whole(strict[:-1]):
            return strict[:-1]
        return free if self._whole(free) else strict

    def _words(self, segments: list[_Segment], confidence: float) -> Iterator[Word]:
        for word, start, end in segments:
            text = _spelled([(word, start, end)])
            yield Word(text, confidence, self._began + start / 100, self._began + (end + 1) / 100)

    def _phones(self, words: Iterable[str]) -> list[str]:
        return [p for word in words for p in (self._strict.lookup_word(word) or "").split()]

    def _compile(self, grammar: Grammar) -> _Compiled:
        key = (grammar.name, grammar.jsgf)
        if key not in self._kept:
            self._kept[key] = self._made(grammar, f"{grammar.name}-{len(self._kept)}")
        return self._kept[key]

    def _made(self, grammar: Grammar, search: str) -> _Compiled:
        graph = Graph.of(grammar, self._strict)
        words = graph.vocabulary()
        missing = self.unknown(words)
        if missing:
            raise HearingError(
                f"The recogniser has no pronunciation for {', '.join(sorted(missing))}; "
                "use other words."
            )
        self._teach(words)
        phrases = grammar.phrases or tuple(sorted(words))
        model = loaded(arpa(phrases, self._everyday), self._open)
        return _Compiled(search, graph, model, grammar.tail)

    def _teach(self, words: Iterable[str]) -> None:
        """Give both decoders the words that their dictionaries lack."""
        for word in sorted(words):
            sound = self._sound_of(word)
            if sound is not None and self._strict.lookup_word(word) is None:
                self._strict.add_word(word, sound, False)
            for variant, phones in _variants(self._strict, word):
                if self._open.lookup_word(variant) is None:
                    self._open.add_word(variant, phones, False)

    def _sound_of(self, word: str) -> str | None:
        known: str | None = self._strict.lookup_word(word)
        return known or pronounce(word, self._strict.lookup_word)

    def _settings(self) -> dict[str, str | int]:
        """What both decoders are made with."""
        return {"loglevel": "FATAL", "maxhmmpf": MOST_STATES, **self._adapted.settings}

    def _small_decoder(self, words: Iterable[str]) -> pocketsphinx.Decoder:
        """A decoder with these words only: it takes a grammar in a millisecond, not in a second."""
        lines = [
            f"{variant} {phones}\n"
            for word in sorted(words)
            for variant, phones in _variants(self._strict, word)
        ]
        with tempfile.TemporaryDirectory(prefix="cuewalk-") as folder:
            path = Path(folder) / "words.dict"
            path.write_text("".join(lines), encoding="utf-8")
            # The second and third pass would come after the last word, where they cost time.
            return pocketsphinx.Decoder(
                lm=None, dict=str(path), fwdflat=False, bestpath=False, **self._settings()
            )

    def _switch(self, wanted: _Compiled) -> None:
        if wanted is self._now:
            return
        # A search takes megabytes and is made in milliseconds: only those in use are kept.
        self._strict.add_fsg(wanted.search, wanted.graph.machine(wanted.search, self._strict))
        self._strict.activate_search(wanted.search)
        self._open.add_lm(wanted.search, wanted.model)
        self._open.activate_search(wanted.search)
        if self._now is not None:
            self._strict.remove_search(self._now.search)
            self._open.remove_search(self._now.search)
        self._now = wanted


def _text(decoder: pocketsphinx.Decoder) -> str:
    hypothesis = decoder.hyp()
    return hypothesis.hypstr if hypothesis else ""


def _spelled(segments: Iterable[_Segment]) -> str:
    """The text; the dictionary numbers further pronunciations of a word: "the(2)"."""
    return " ".join(word.split("(")[0] for word, _, _ in segments)


def _entries(segments: Iterable[_Segment]) -> list[str]:
    """Their words as the dictionary has them, the numbers of pronunciations too."""
    return [word for word, _, _ in segments]


def _segments(decoder: pocketsphinx.Decoder) -> Iterator[_Segment]:
    """The words that were heard, without silences and noises."""
    for segment in decoder.seg() or ():
        if not segment.word.startswith(("<", "+", "[")):
            yield segment.word, segment.start_frame, segment.end_frame


def _variants(decoder: pocketsphinx.Decoder, word: str) -> Iterator[tuple[str, str]]:
    for suffix in _VARIANTS:
        phones = decoder.lookup_word(word + suffix)
        if phones is None:
            return
        yield word + suffix, phones
