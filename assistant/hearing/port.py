"""What a recogniser gives and takes: the one boundary between sound and words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from intents.grammar import Grammar

Samples = NDArray[np.int16]
"""Mono samples at `RATE`."""

RATE = 16_000
"""Samples a second that every recogniser hears; devices and files are resampled to it."""

BLOCK = 480
"""Samples in one block (30 ms)."""

PREROLL = 0.25
"""Seconds of sound before its voice with which an utterance begins, at most: soft consonants come
before the voice."""

OVER_COACH = 0.85
"""Confidence from which on it counts what was said over the coach, where an engine has no limit of
its own."""


@dataclass(frozen=True)
class Word:
    """One recognised word; `confidence` is 0 to 1, times in seconds on the listener's clock."""

    text: str
    confidence: float
    start: float
    end: float


@dataclass(frozen=True)
class Utterance:
    """What was heard between two silences, or so far (`final` is False).

    `began` is when the speech began and `ended` when its last sound ended, both in seconds on the
    clock that `accept` was given. `rejected` is True where the recogniser itself judges that the
    sound was no phrase of its grammar; `text` is then what it would have been, for the log only.
    `over_coach` is the confidence from which on it counts if the coach was speaking meanwhile.
    """

    text: str
    words: tuple[Word, ...]
    confidence: float
    began: float
    ended: float
    final: bool
    engine: str
    rejected: bool = False
    over_coach: float = OVER_COACH


class Recogniser(Protocol):
    """An engine behind the port. One thread at a time uses it."""

    name: str

    @property
    def speaking(self) -> bool:
        """Whether an utterance is under way."""

    def listen_for(self, grammar: Grammar) -> None:
        """Take a grammar; where an utterance is under way, it takes effect at its end."""

    def accept(self, block: Samples, at: float) -> Iterator[Utterance]:
        """Hear one block that began at `at` seconds; yield partial and final utterances."""

    def flush(self, at: float) -> Iterator[Utterance]:
        """The sound ended: yield the last utterance, if one was under way."""

    def unknown(self, words: frozenset[str], spaced: bool = True) -> frozenset[str]:
        """Those of `words` that this engine can not hear (no pronunciation).

        Words of a language that is not `spaced` may be heard as several.
        """

    def close(self) -> None: ...
