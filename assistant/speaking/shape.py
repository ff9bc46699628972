"""Shapes what a voice gives: no silence around it, and every voice equally loud.

Without the silence a line starts at once, and ends when its last sound does, so that a cue can be
made to end on a mark. Equally loud means the same peak: the room above it is for marks.
"""

from __future__ import annotations

import numpy as np
import soxr
from numpy.typing import NDArray

from assistant.speaking.port import Sound

PEAK = 0.65
"""Peak of speech as a share of full scale; marks are mixed in above it."""

QUIET = 0.01
"""Below this share of the peak (-40 dB) a sound counts as silence."""

LEAD = 0.005
TAIL = 0.03
"""Seconds kept before the first and after the last sound, so that no consonant is cut."""


def shaped(sound: Sound) -> Sound:
    """The sound without the silence around it, its peak at `PEAK`; silence stays as it is.

    >>> import numpy as np
    >>> from assistant.speaking.port import Sound
    >>> padded = np.concatenate([np.zeros(8000), np.full(800, 99), np.zeros(8000)])
    >>> made = shaped(Sound(padded.astype(np.int16), 8000))
    >>> round(made.seconds, 3), int(made.samples.max())
    (0.135, 21298)
    """
    loud = np.abs(sound.samples.astype(np.int32))
    peak = int(loud.max(initial=0))
    if peak == 0:
        return sound
    heard = np.flatnonzero(loud > peak * QUIET)
    begin = max(0, int(heard[0]) - round(LEAD * sound.rate))
    end = min(len(loud), int(heard[-1]) + 1 + round(TAIL * sound.rate))
    scaled = sound.samples[begin:end] * (PEAK * 32767 / peak)
    return Sound(scaled.astype(np.int16), sound.rate)


def at_rate(sound: Sound, rate: int) -> NDArray[np.int16]:
    """The samples of a sound at another rate."""
    if sound.rate == rate:
        return sound.samples
    made: NDArray[np.int16] = soxr.resample(sound.samples, sound.rate, rate)
    return made
