"""A gain that follows a speaker who walks away or comes nearer, and nothing else.

It is learned from speech alone and stays as it is between words, so that the noise of the room
does not swell in the pauses. It changes slowly, and a sudden loud sound is held below full scale
at once. Sound at its wanted level passes untouched.

>>> gain = Gain()
>>> block = np.full(480, 1000, np.int16)
>>> gain.hear(block, noise=-60.0) is block
True
>>> gain.start(speech=-40.0, noise=-80.0)
>>> int(gain.hear(block, noise=-80.0)[-1])
5012
"""

from __future__ import annotations

from typing import Final

import numpy as np
from pocketsphinx import Vad

from assistant.hearing.levels import level
from assistant.hearing.port import BLOCK, RATE, Samples

TARGET: Final = -26.0
"""Level, in dBov, that speech is brought to: the usual one of speech in telephony (ITU-T P.56 and
the recommendations that use it)."""

MOST: Final = 24.0
LEAST: Final = -12.0
"""Decibels of gain at most and at least."""

NOISE: Final = -45.0
"""Level above which noise is not brought: the gain stays lower in a loud room."""

SLACK: Final = 2.0
"""Decibels by which speech may be off before anything is done."""

UP: Final = 10.0
DOWN: Final = 20.0
"""Decibels a second by which the gain rises and falls at most."""

ABOVE: Final = 9.0
"""Decibels above the noise from which on a block with a voice is speech."""

RUN: Final = 3
"""Blocks of speech running after which it is believed: a dropped pan is shorter."""

RISING: Final = 0.25
FALLING: Final = 0.04
"""Share of a block's difference by which the speaker is taken to be louder or softer. Words are
louder than their ends: the level is to be that of the loud parts."""

STRIDE: Final = 12.0
"""Decibels of difference that count at most."""

CEILING: Final = 32_000
"""No sample is brought above this."""

STRICTNESS: Final = 3
"""Of the voice detector: 3 lets the least noise through."""


class Gain:
    """Blocks of `BLOCK` samples go in and come out louder or softer."""

    def __init__(self) -> None:
        self._vad = Vad(STRICTNESS, RATE, BLOCK / RATE)
        self._speech = TARGET
        self._run = 0
        self._factor = 1.0
        self.decibels = 0.0
        """The gain now."""

    def start(self, speech: float, noise: float) -> None:
        """Speech and noise were measured at these levels, in dBov: begin with what they need."""
        self._speech = speech
        self.decibels = self._wanted(noise)
        self._factor = _factor(self.decibels)

    def hear(self, block: Samples, noise: float, learn: bool = True) -> Samples:
        """The block at the gain for it. `noise` is the room's level in dBov; with `learn` False the
        block is not the speaker's, whatever it sounds like."""
        if learn:
            self._learn(block, noise)
        limit = CEILING / max(1.0, float(np.max(np.abs(block.astype(np.int32)), initial=0)))
        before = min(self._factor, limit) if self._factor > 1 else self._factor
        after = min(_factor(self.decibels), limit) if self.decibels > 0 else _factor(self.decibels)
        self._factor = after
        if before == after == 1.0:
            return block
        # From one gain to the next along the block, so that nothing clicks.
        out: Samples = np.rint(block * np.linspace(before, after, len(block))).astype(np.int16)
        return out

    def _learn(self, block: Samples, noise: float) -> None:
        loud = level(block)
        speech = loud > noise + ABOVE and self._vad.is_speech(block.tobytes())
        self._run = self._run + 1 if speech else 0
        if self._run < RUN:
            return
        beyond = min(STRIDE, max(-STRIDE, loud - self._speech))
        self._speech += beyond * (RISING if beyond > 0 else FALLING)
        off = self._wanted(noise) - self.decibels
        if abs(off) > SLACK:
            seconds = len(block) / RATE
            self.decibels += min(UP * seconds, max(-DOWN * seconds, off))

    def _wanted(self, noise: float) -> float:
        most = min(MOST, max(0.0, NOISE - noise))
        return min(most, max(LEAST, TARGET - self._speech))


def _factor(decibels: float) -> float:
    return 1.0 if decibels == 0 else float(10 ** (decibels / 20))
