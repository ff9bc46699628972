"""Does a microphone pass the whole of speech, or only what a telephone does?

An old Bluetooth headset, or a sound card at 8 kHz, gives nothing over 4 kHz, whatever rate the
system then shows. `tests/bench/narrow.py` measures what that costs.
"""

from __future__ import annotations

import numpy as np

from assistant.hearing.port import RATE, Samples

FRAME = 512
LOUDEST = 0.1
"""Share of frames, the loudest, in which it is looked for."""

LOW, HIGH = (300.0, 3400.0), (4200.0, 7000.0)
"""What a telephone passes (ITU-T G.712), and what it does not, in hertz."""

NARROW = -55.0
"""Decibels of the high band under the low one, from which nothing of it has come through: the
demonstration's voice has 7 to 33 of them whole, and 74 to 82 brought through 8 kHz."""


def is_narrow(samples: Samples) -> bool:
    """Whether a recording with speech in it has none of its upper half; False in silence."""
    share = high_share(samples)
    return share is not None and share < NARROW


def high_share(samples: Samples) -> float | None:
    """Decibels of the high band to the low one where it is loudest; None without any sound."""
    frames = samples[: len(samples) // FRAME * FRAME].reshape(-1, FRAME).astype(np.float64)
    if not len(frames):
        return None
    power = np.abs(np.fft.rfft(frames * np.hanning(FRAME), axis=1)) ** 2
    loud = np.argsort(power.sum(axis=1))[-max(1, round(len(frames) * LOUDEST)) :]
    mean = power[loud].mean(axis=0)
    hertz = np.fft.rfftfreq(FRAME, 1 / RATE)
    low, high = (mean[(hertz >= a) & (hertz <= b)].mean() for a, b in (LOW, HIGH))
    if low <= 0:
        return None
    return float(10 * np.log10(max(high, 1e-12) / low))
