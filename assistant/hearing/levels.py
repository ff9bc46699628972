"""How loud it is: levels, the room's noise, and what to advise before a session.

Levels are in dBov, decibels below the overload point: 0 is the power of a full-scale square wave,
so that a full-scale sine has -3.01 (ITU-T G.100.1). Speech is measured while it sounds, pauses left
out; the room's noise is the level that a fifth of all frames stay below.

>>> tone = np.round(32767 * np.sin(np.arange(16000) / 5)).astype(np.int16)
>>> round(level(tone), 1)
-3.0
>>> advice(measure(np.zeros(32000, np.int16)))
('level.off',)
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Final, Literal

import numpy as np
from numpy.typing import NDArray

from assistant.hearing.port import RATE, Samples
from assistant.hearing.voice_detector import FRAME, VoiceDetector

QUIETEST: Final = -100.0
"""The level given for silence, a little below that of the last bit of 16."""

NOISE_SHARE: Final = 20
"""Per cent of the frames that stay below what counts as the level of the noise."""

ABOVE: Final = 9.0
"""Decibels above the noise from which on a frame with a voice is speech."""

SHORTEST: Final = 0.12
"""Seconds of speech below which nothing counts as heard: no word is shorter."""

FULL: Final = 32_700
"""Samples from here on are cut off by the microphone, if several follow one another."""

SURE: Final = 0.8
"""How sure the voice detector must be of a voice."""

Advice = Literal[
    "level.off",
    "level.nothing",
    "level.clipping",
    "level.loud_room",
    "level.far",
    "level.fine",
]
"""Ids of the coach's lines that tell how well it hears."""

OFF: Final = -85.0
"""A microphone that is on never stays below this level: its own noise is louder."""

CLIPPED: Final = 0.002
"""Share of cut-off samples in speech from which on it is distorted audibly."""

CLEAR: Final = 15.0
"""Decibels of speech above noise below which commands are missed too often, by the noisy parts of
`python -m tests.bench.hearing`."""

LOUD_ROOM: Final = -50.0
"""Noise above this level is the room's fault; below it, the speaker is too far away."""

FAINT: Final = -52.0
"""Speech below this level is too faint whatever the noise: gain would bring up the last bits."""


@dataclass(frozen=True)
class Levels:
    """What was measured over a stretch of sound; levels in dBov."""

    noise: float
    """Level of the background."""
    speech: float | None
    """Level of the speech in it, while it sounds; None where there is none."""
    seconds: float
    """How long speech sounds."""
    peak: float
    """Level of the highest sample."""
    loudest: float
    """Level of the loudest frame."""
    clipped: float
    """Share of the samples during speech that are cut off at full scale."""

    @property
    def ratio(self) -> float | None:
        """Speech to noise in decibels, the noise taken out of the speech; None without speech."""
        if self.speech is None:
            return None
        power = max(_power(self.speech) - _power(self.noise), 1e-12)
        return 10 * math.log10(power) - self.noise


def power_level(mean_square: float) -> float:
    """The level of a mean square of samples that have 1 as full scale."""
    return max(QUIETEST, 10 * math.log10(mean_square + 1e-12))


def level(samples: Samples) -> float:
    """The level of samples as a whole."""
    if not len(samples):
        return QUIETEST
    return power_level(float(np.mean(np.square(samples / 32768.0))))


def measure(samples: Samples) -> Levels:
    """Measure a stretch of sound: some seconds, with a word or a sentence in it, or none."""
    frames = _frames(samples)
    if not len(frames):
        return Levels(QUIETEST, None, 0.0, QUIETEST, QUIETEST, 0.0)
    powers = np.mean(np.square(frames / 32768.0), axis=1)
    noise = power_level(float(np.percentile(powers, NOISE_SHARE)))
    detector = VoiceDetector()
    voiced = np.array([detector.hear(frame) >= SURE for frame in frames])
    speech = voiced & (powers > _power(noise + ABOVE))
    seconds = float(np.count_nonzero(speech)) * FRAME / RATE
    heard = seconds >= SHORTEST
    return Levels(
        noise,
        power_level(float(np.mean(powers[speech]))) if heard else None,
        seconds,
        power_level(float(np.max(np.abs(samples.astype(np.int32))) / 32768) ** 2),
        power_level(float(np.max(powers))),
        _clipped(frames[speech] if heard else frames),
    )


def advice(levels: Levels) -> tuple[Advice, ...]:
    """What to tell the athlete, the most pressing first; `level.fine` where all is well."""
    if levels.loudest < OFF:
        return ("level.off",)
    found: list[Advice] = []
    if levels.clipped > CLIPPED:
        found.append("level.clipping")
    ratio = levels.ratio
    if levels.speech is None or ratio is None:
        # A room so loud that no word stands out of it is the first thing to say.
        found.append("level.loud_room" if levels.noise > LOUD_ROOM else "level.nothing")
    elif ratio < CLEAR and levels.noise > LOUD_ROOM:
        found.append("level.loud_room")
    elif ratio < CLEAR or levels.speech < FAINT:
        found.append("level.far")
    return tuple(found) or ("level.fine",)


def _frames(samples: Samples) -> Samples:
    whole = len(samples) - len(samples) % FRAME
    frames: Samples = samples[:whole].reshape(-1, FRAME)
    return frames


def _clipped(frames: Samples) -> float:
    """Share of samples at full scale that have a neighbour there: single peaks may reach it."""
    if not frames.size:
        return 0.0
    full = np.abs(frames.astype(np.int32)) >= FULL
    both: NDArray[Any] = full[:, 1:] & full[:, :-1]
    return float(np.count_nonzero(both)) / frames.size


def _power(decibels: float) -> float:
    return float(10 ** (decibels / 10))
