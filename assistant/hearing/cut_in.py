"""Cutting in: somebody speaks over the coach, who falls silent and listens, as a person would.

Pure: what the echo canceller measured goes in, block by block, with the coach's comings and goings
and what came of the words that were heard; orders come out. At a hint of a voice the coach is
turned down, at a sure one he falls silent. If nothing was meant, he waits whether it is said again,
and then says the sentence again from its beginning, but not for ever: every time it takes a surer
voice to silence him, and the third time he speaks to the end, turned down at most. What may not be
interrupted is only turned down.

| state | at a hint | at a sure voice | nothing meant, or heard | something meant |
|---|---|---|---|---|
| quiet | - | - | - | - |
| speaking | Duck, to ducked | Silence, to listening | - | - |
| ducked | - | Silence, to listening | Restore, to speaking | - |
| listening | - | - | Repeat, to quiet, once it is quiet | to quiet |

>>> from dataclasses import replace
>>> from assistant.hearing.echo import EchoCanceller
>>> quiet = EchoCanceller().hear(np.zeros(BLOCK, np.int16), at=2.0)
>>> voice = replace(quiet, coach=True, odds=SURE + 1)
>>> cut_in = CutIn()
>>> cut_in.coach_started(at=1.0)
()
>>> [type(order).__name__ for order in cut_in.block(voice)]
['Silence']
>>> cut_in.utterance(meant=False, at=3.0)
()
>>> cut_in.block(replace(quiet, at=4.0))
(Repeat(at=4.03),)
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, auto
from typing import Final

import numpy as np

from assistant.hearing.echo import Cleaned
from assistant.hearing.port import BLOCK, RATE

HINT: Final = 2.0
"""Odds (their logarithm) from which on the coach is turned down."""

SURE: Final = 4.0
"""Odds from which on somebody speaks."""

SURER: Final = 2.0
"""What is added to `SURE` every time that nothing was meant."""

REPEATS: Final = 2
"""How often a sentence is begun again at most."""

CALM: Final = 0.3
"""Seconds without a hint after which the coach is turned up again."""

LATE: Final = 0.05
"""Seconds by which the odds rise later than the voice that raises them."""

STANDS_OUT: Final = 9.0
"""Decibels above the noise from which on it counts that somebody still speaks."""

PATIENCE: Final = 1.8
"""Seconds of quiet in the silence of the coach, after which nothing more is waited for: longer
than any recogniser waits for the end of a command, and than it takes to say again what was not
understood (judgement)."""

LONGEST: Final = 8.0
"""Seconds of silence of the coach at most: a television goes on for ever."""


@dataclass(frozen=True)
class Duck:
    """Turn the coach down."""

    at: float


@dataclass(frozen=True)
class Restore:
    """Turn the coach up again."""

    at: float


@dataclass(frozen=True)
class Silence:
    """Stop what the coach is saying, now: somebody has been speaking since about `onset`."""

    at: float
    onset: float


@dataclass(frozen=True)
class Repeat:
    """Nothing was meant: say the sentence again from its beginning."""

    at: float


Order = Duck | Restore | Silence | Repeat
Orders = tuple[Order, ...]


class _State(Enum):
    QUIET = auto()
    SPEAKING = auto()
    DUCKED = auto()
    LISTENING = auto()


class CutIn:
    """The state machine; every call gives the orders that follow from it, mostly none."""

    def __init__(self) -> None:
        self._state = _State.QUIET
        self._interruptible = True
        self._repeats = 0
        self._again = False
        """The next sentence is one that is begun again."""
        self._since = 0.0
        """When the state was entered."""
        self._onset: float | None = None
        self._hinted = 0.0
        """When there was a hint last."""
        self._sounded = 0.0
        """When something stood out of the noise last."""

    @property
    def listening(self) -> bool:
        """The coach was silenced, and it is not yet known what for."""
        return self._state is _State.LISTENING

    def coach_started(self, at: float, interruptible: bool = True) -> Orders:
        """A sentence of the coach is heard from `at` seconds on."""
        if not self._again:
            self._repeats = 0
        self._again = False
        self._interruptible = interruptible and self._repeats < REPEATS
        ducked = self._state is _State.DUCKED
        self._enter(_State.SPEAKING, at)
        return (Restore(at),) if ducked else ()

    def coach_ended(self, at: float) -> Orders:
        """It has ended, by itself or because it was silenced."""
        if self._state is _State.LISTENING:
            return ()
        ducked = self._state is _State.DUCKED
        self._enter(_State.QUIET, at)
        return (Restore(at),) if ducked else ()

    def block(self, cleaned: Cleaned) -> Orders:
        """What the microphone heard; every block of it, whoever speaks."""
        now = cleaned.at + BLOCK / RATE
        if self._state is _State.LISTENING:
            return self._listen(cleaned, now)
        if self._state is _State.QUIET:
            return ()
        odds = cleaned.odds if cleaned.coach and cleaned.trusted else -np.inf
        if odds >= HINT:
            self._hinted = now
            if self._onset is None:
                self._onset = now - LATE
        elif now - self._hinted > CALM:
            self._onset = None
        if self._interruptible and odds >= SURE + SURER * self._repeats:
            assert self._onset is not None
            onset, self._sounded = self._onset, now
            ducked = self._state is _State.DUCKED
            self._enter(_State.LISTENING, now)
            return (Silence(now, onset), Restore(now)) if ducked else (Silence(now, onset),)
        if self._state is _State.SPEAKING and odds >= HINT:
            self._state = _State.DUCKED
            return (Duck(now),)
        if self._state is _State.DUCKED and now - self._hinted > CALM:
            self._state = _State.SPEAKING
            return (Restore(now),)
        return ()

    def utterance(self, meant: bool, at: float) -> Orders:
        """What was heard turned out to be meant for the coach; or not, then more may come."""
        if not meant or self._state is not _State.LISTENING:
            return ()
        self._repeats = 0
        self._enter(_State.QUIET, at)
        return ()

    def _listen(self, cleaned: Cleaned, now: float) -> Orders:
        if cleaned.left > cleaned.noise + STANDS_OUT:
            self._sounded = now
        if now - self._sounded > PATIENCE or now - self._since > LONGEST:
            return self._repeat(now)
        return ()

    def _repeat(self, at: float) -> Orders:
        self._repeats += 1
        self._again = True
        self._enter(_State.QUIET, at)
        return (Repeat(at),)

    def _enter(self, state: _State, at: float) -> None:
        self._state, self._since, self._onset = state, at, None
