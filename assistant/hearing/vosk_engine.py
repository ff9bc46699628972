"""Vosk behind the port: a model of phrases, so every text is held against the strict grammar too.

What Vosk calls a grammar is a bigram model of its phrases: it answers with mixtures of them and
with near words at full confidence. So decoys and `[unk]` stand beside the phrases, and what comes
out is a phrase only if the grammar accepts the whole of it.

Where a language writes spaces as it likes, models hold parts of words (Korean ones nouns and
endings): a word that the model lacks is then listened for as the parts that it has.

`SetGrammar` during an utterance ends the process; here it follows a `Reset`, between utterances.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Final

from assistant.errors import HearingError
from assistant.hearing.decoys import decoys
from assistant.hearing.endpoint import LoudnessEndpointer
from assistant.hearing.graph import Graph
from assistant.hearing.patience import LONGEST, Patience
from assistant.hearing.port import RATE, Samples, Utterance, Word
from assistant.hearing.vosk_model import is_model
from intents.grammar import Grammar

UNKNOWN: Final = "[unk]"
LEAST_CONFIDENCE: Final = 0.5
"""A word below this was not understood (judgement: correct words mostly have 1.0)."""

LEAST_FILLED: Final = 0.5
"""Share of the time with sound that the words must fill: one word out of two seconds of din is
none (judgement: correct phrases fill 0.9 and more)."""


class VoskRecogniser:
    """Raises HearingError where there is no model at `model_path` or it can not be loaded.

    `language` picks the decoys, words of everyday speech that no grammar holds.
    """

    name = "vosk"

    def __init__(
        self, model_path: Path, patience: Patience | None = None, language: str = "en"
    ) -> None:
        self.patience = patience or Patience()
        self._vosk, self._model = _loaded(model_path)
        self.takes_grammar = takes_runtime_grammar(model_path)
        self._decoys = tuple(w for w in decoys(language) if self._knows(w))
        self._recogniser: Any = self._vosk.KaldiRecognizer(self._model, RATE)
        self._recogniser.SetWords(True)
        self._endpointer = LoudnessEndpointer()
        self._divided: dict[str, Grammar] = {}
        self._wholes: dict[str, str] = {}
        self._graphs: dict[str, Graph] = {}
        self._phrases: dict[str, str] = {}
        self._now: Graph | None = None
        self._next: Grammar | None = None
        self._tail: frozenset[str] = frozenset()
        self._began = 0.0
        self._fed = 0
        self._fed_before = 0.0
        self._heard: list[Word] = []
        self._partial = ""

    @property
    def speaking(self) -> bool:
        """Whether an utterance is under way."""
        return self._endpointer.speaking

    def listen_for(self, grammar: Grammar) -> None:
        """Take a grammar; where an utterance is under way, it takes effect at its end."""
        if grammar.jsgf not in self._divided:
            parts = self._parts(grammar.words, grammar.spaced)
            known = grammar.divided(parts)
            self._divided[grammar.jsgf] = known
            self._wholes |= {divided: word for word, divided in parts.items()}
            self._graphs[known.jsgf] = Graph.of(known)
            self._phrases[known.jsgf] = self._phrase_list(known)
        known = self._divided[grammar.jsgf]
        if self._endpointer.speaking:
            self._next = known
        else:
            self._switch(known)

    def accept(self, block: Samples, at: float) -> Iterator[Utterance]:
        """Hear one block that began at `at` seconds; yield partial and final utterances."""
        if self._now is None:
            raise HearingError("The recogniser has no grammar yet; call listen_for first.")
        step = self._endpointer.hear(block, at)
        if step.began is not None:
            self._began, self._heard, self._partial = step.began, [], ""
            self._fed_before = self._fed / RATE
        if not self._endpointer.speaking:
            return
        self._fed += len(step.sound)
        if len(step.sound) and self._recogniser.AcceptWaveform(step.sound.tobytes()):
            # Vosk has an endpointer of its own that may end a stretch before ours does.
            self._heard += self._words(json.loads(self._recogniser.Result()))
        partial = json.loads(self._recogniser.PartialResult()).get("partial", "")
        text = " ".join([*(word.text for word in self._heard), *partial.split()])
        if text and text != self._partial:
            self._partial = text
            yield self._utterance(text, (), step.last_sound, final=False)
        waited = self.patience.over(self._now, tuple(text.split()), step.silence, self._tail)
        if waited or at + len(block) / RATE - self._began > LONGEST:
            yield from self._end(step.last_sound)

    def flush(self, at: float) -> Iterator[Utterance]:
        """The sound ended: yield the last utterance, if one was under way."""
        if self._endpointer.speaking:
            yield from self._end(at)

    def unknown(self, words: frozenset[str], spaced: bool = True) -> frozenset[str]:
        """Those of `words` that the model does not hold, nor in parts where they are not spaced."""
        parts = self._parts(words, spaced)
        return frozenset(word for word in words if word not in parts and not self._knows(word))

    def close(self) -> None:
        self._recogniser = self._model = self._now = self._next = None

    def _end(self, ended: float) -> Iterator[Utterance]:
        self._heard += self._words(json.loads(self._recogniser.FinalResult()))
        self._endpointer.rest()
        words = tuple(self._heard)
        if words:
            yield self._utterance(" ".join(w.text for w in words), words, ended, final=True)
        if self._next is not None:
            grammar, self._next = self._next, None
            self._switch(grammar)

    def _switch(self, grammar: Grammar) -> None:
        self._now, self._tail = self._graphs[grammar.jsgf], grammar.tail
        if self.takes_grammar:
            self._recogniser.Reset()
            self._recogniser.SetGrammar(self._phrases[grammar.jsgf])

    def _utterance(
        self, text: str, words: tuple[Word, ...], ended: float, final: bool
    ) -> Utterance:
        assert self._now is not None
        whole = self._now.accepts(tuple(text.split()))
        confidence = min((word.confidence for word in words), default=0.5)
        return Utterance(
            self._joined(text),
            words,
            confidence,
            self._began,
            max(ended, self._began),
            final,
            self.name,
            rejected=not whole or (final and not self._fits(words, confidence, ended)),
        )

    def _fits(self, words: tuple[Word, ...], confidence: float, ended: float) -> bool:
        """Whether the words are sure enough, and fill the time in which there was sound."""
        sounding = ended - self._began - self._endpointer.tuning.preroll
        filled = words[-1].end - words[0].start
        return confidence >= LEAST_CONFIDENCE and filled >= LEAST_FILLED * sounding

    def _words(self, result: dict[str, Any]) -> list[Word]:
        """Vosk counts seconds over all sound that it was ever given."""
        shift = self._began - self._fed_before
        return [
            Word(w["word"], min(1.0, w["conf"]), w["start"] + shift, w["end"] + shift)
            for w in result.get("result", ())
        ]

    def _phrase_list(self, grammar: Grammar) -> str:
        known = [p for p in grammar.phrases if all(self._knows(w) for w in p.split())]
        strange = tuple(word for word in self._decoys if word not in grammar.words)
        # Not every model has a word for what it does not know.
        other = [UNKNOWN] if self._knows(UNKNOWN) else []
        return json.dumps([*known, *strange, *other], ensure_ascii=False)

    def _parts(self, words: frozenset[str], spaced: bool) -> dict[str, str]:
        """The words that the model lacks, as parts that it has."""
        if spaced:
            return {}
        lacking = (word for word in words if not self._knows(word))
        divided = ((word, fewest_parts(word, self._knows)) for word in lacking)
        return {word: " ".join(parts) for word, parts in divided if parts}

    def _joined(self, text: str) -> str:
        """A text with the parts of words as words again; what it means stays the same."""
        for parts in sorted(self._wholes, key=len, reverse=True):
            text = f" {text} ".replace(f" {parts} ", f" {self._wholes[parts]} ").strip()
        return text

    def _knows(self, word: str) -> bool:
        return bool(self._model.vosk_model_find_word(word) >= 0)


def fewest_parts(word: str, known: Callable[[str], bool]) -> tuple[str, ...]:
    """A word as the fewest known parts, the longest first; none where that can not be.

    >>> fewest_parts("아파요", {"아", "파", "아파", "요"}.__contains__)
    ('아파', '요')
    >>> fewest_parts("아파요", {"아파"}.__contains__)
    ()
    """
    best: list[tuple[str, ...] | None] = [()] + [None] * len(word)
    for end in range(1, len(word) + 1):
        for start in range(end):
            before, part = best[start], word[start:end]
            if before is not None and known(part):
                row, shortest = (*before, part), best[end]
                if shortest is None or (len(row), [-len(p) for p in row]) < (
                    len(shortest),
                    [-len(p) for p in shortest],
                ):
                    best[end] = row
    return best[-1] or ()


def takes_runtime_grammar(model: Path) -> bool:
    """Whether the model's graph is made of two parts, of which the second can be replaced.

    Models with one static graph (HCLG.fst) ignore a grammar.
    """
    places = (model / "graph", model)
    return any((p / "HCLr.fst").is_file() and (p / "Gr.fst").is_file() for p in places)


def _loaded(model_path: Path) -> tuple[Any, Any]:
    if not is_model(model_path):
        raise HearingError(
            f"{model_path} holds no Vosk model; name the folder that has am and graph in it."
        )
    try:
        import vosk
    except (ImportError, OSError) as error:
        raise HearingError(f"Vosk can not be loaded ({error}); install vosk again.") from error
    # Its log would be written into the middle of the captions.
    vosk.SetLogLevel(-1)
    try:
        # A path is always given: without one, the library would fetch a model by itself.
        return vosk, vosk.Model(model_path=str(model_path))
    except Exception as error:  # the library raises nothing narrower
        raise HearingError(
            f"The Vosk model {model_path} can not be loaded; fetch it again."
        ) from error
