"""From blocks of sound to utterances: on a thread for a session, or at once for a file."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable, Iterable, Iterator

import numpy as np

from assistant.errors import HearingError
from assistant.hearing.port import BLOCK, RATE, Recogniser, Samples, Utterance
from intents.grammar import Grammar

log = logging.getLogger("cuewalk.hearing")

TimedBlock = tuple[Samples, float]
"""A block and the time of its first sample, in seconds on the session's clock."""


def transcribe(recogniser: Recogniser, samples: Samples) -> list[Utterance]:
    """The final utterances of a recording, rejected ones too; its times begin at 0.

    Half a second of silence is heard after the recording, so that it may end with its last word.
    """
    heard: list[Utterance] = []
    for block, at in blocks_of(samples):
        heard += [u for u in recogniser.accept(block, at) if u.final]
    end = len(samples) / RATE
    heard += [u for u in recogniser.flush(end) if u.final]
    return heard


def blocks_of(samples: Samples, began: float = 0.0) -> Iterator[TimedBlock]:
    """A recording as timed blocks; the last is padded with silence."""
    for index in range(0, len(samples), BLOCK):
        block = samples[index : index + BLOCK]
        if len(block) < BLOCK:
            block = np.concatenate([block, np.zeros(BLOCK - len(block), np.int16)])
        yield block, began + index / RATE


class Listener:
    """Hears a source on a thread of its own and calls back with every utterance.

    `source` yields timed blocks and ends when the sound ends; `heard` is called with each
    utterance on the listener's thread, `speaking` when somebody begins to speak (True) and when
    that is over (False, after its utterance), `ended` once at the end, with the error where one
    stopped the listening.
    """

    def __init__(
        self,
        recogniser: Recogniser,
        source: Iterable[TimedBlock],
        heard: Callable[[Utterance], None],
        ended: Callable[[HearingError | None], None] = lambda error: None,
        speaking: Callable[[bool], None] = lambda somebody: None,
    ) -> None:
        self._recogniser = recogniser
        self._source = source
        self._heard = heard
        self._ended = ended
        self._speaking = speaking
        self._lock = threading.Lock()
        self._wanted: Grammar | None = None
        self._somebody = False
        """Whether somebody was speaking, as told last."""
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, name="listener", daemon=True)

    def listen_for(self, grammar: Grammar) -> None:
        """Take a grammar, from any thread; it is in use from the next block that is not speech."""
        with self._lock:
            self._wanted = grammar

    def start(self) -> None:
        self._thread.start()

    def stop(self, patience: float = 2.0) -> None:
        """End the listening; waits `patience` seconds for the thread."""
        self._stop.set()
        if self._thread.is_alive() and threading.current_thread() is not self._thread:
            self._thread.join(patience)

    def _run(self) -> None:
        error: HearingError | None = None
        end = 0.0
        try:
            for block, at in self._source:
                if self._stop.is_set():
                    break
                self._take_grammar()
                for utterance in self._recogniser.accept(block, at):
                    self._heard(utterance)
                self._tell_whether_somebody_speaks()
                end = at + len(block) / RATE
            for utterance in self._recogniser.flush(end):
                self._heard(utterance)
        except HearingError as problem:
            error = problem
        except Exception as problem:
            # Whatever it is: a session that hears nothing has to know it.
            log.exception("the listening broke off")
            error = HearingError(
                f"The listening broke off ({problem!r}); leave with Ctrl-C and begin again: "
                "cuewalk train goes on where this was."
            )
        self._ended(error)

    def _tell_whether_somebody_speaks(self) -> None:
        if self._recogniser.speaking != self._somebody:
            self._somebody = self._recogniser.speaking
            self._speaking(self._somebody)

    def _take_grammar(self) -> None:
        with self._lock:
            grammar, self._wanted = self._wanted, None
        if grammar is not None:
            self._recogniser.listen_for(grammar)
