"""How much later than told the loudspeaker is heard, from the sounds themselves.

What a device tells of its delay may be wrong by a tenth of a second, and wireless loudspeakers
tell nothing at all. The cross-correlation of what was played and what was heard, whitened so that
every frequency counts alike, has a peak at the true delay (the generalised cross-correlation of
Knapp and Carter, IEEE Transactions on Acoustics, Speech and Signal Processing 24, 1976).

>>> rng = np.random.default_rng(1)
>>> noise = rng.normal(size=RATE * 5).astype(np.float32)
>>> finder = DelayFinder()
>>> for second in range(1, 4):
...     begin = second * RATE
...     played = noise[begin - AHEAD : begin - AHEAD + PLAYED]
...     told = finder.hear(played, 0.3 * noise[begin - 1600 : begin - 1600 + HEARD])
>>> round(told * 1000 / RATE)
100
"""

from __future__ import annotations

from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from assistant.hearing.port import RATE

HEARD: Final = RATE
"""Samples of what was heard that are compared at once."""

EARLIEST: Final = round(-0.2 * RATE)
LATEST: Final = round(0.5 * RATE)
"""Delays that are looked for, in samples."""

AHEAD: Final = LATEST
"""What was played is given from so many samples before the begin of what was heard."""

PLAYED: Final = HEARD + LATEST - EARLIEST
"""Samples of what was played that are compared at once."""

_COARSE: Final = 4
"""The comparison is made at a quarter of the rate: 0.25 ms is fine enough."""

_SIZE: Final = 8192
_BAND: Final = slice(round(150 * _SIZE * _COARSE / RATE), round(1800 * _SIZE * _COARSE / RATE))
"""Where a small loudspeaker plays and the crude change of rate is harmless."""

KEEPING: Final = 0.7
"""Share of what was seen before in the mean that is looked at."""

CLEAR: Final = 9.0
"""A peak counts that is so many times as high as the rest is on the average."""

AGREEING: Final = round(0.003 * RATE)
"""Two estimates running that are so near to each other are believed."""


class DelayFinder:
    """Compares stretches of sound, one after another; `hear` gives the delay once it is sure."""

    def __init__(self) -> None:
        self._mean: NDArray[np.complexfloating[Any, Any]] = np.zeros(_SIZE // 2 + 1, np.complex128)
        self._before: int | None = None
        self.fine: float | None = None
        """The last delay to a part of a sample; None where it was not sure."""

    def hear(self, played: NDArray[np.float32], heard: NDArray[np.float32]) -> int | None:
        """The delay in samples, negative where it is heard earlier than told; None if unsure.

        `heard` are `HEARD` samples; `played` are the `PLAYED` samples from `AHEAD` before them.
        """
        first = np.fft.rfft(_coarse(played), _SIZE)
        second = np.fft.rfft(_coarse(heard), _SIZE)
        # Played before heard is a delay: the peak lies where the played is moved on by it.
        cross = first * second.conj()
        self._mean = KEEPING * self._mean + cross / (np.abs(cross) + 1e-9)
        chosen = np.zeros_like(self._mean)
        chosen[_BAND] = self._mean[_BAND]
        peaks = np.abs(np.fft.irfft(chosen))[: (LATEST - EARLIEST) // _COARSE]
        place = int(np.argmax(peaks))
        delay = AHEAD - place * _COARSE
        sure = peaks[place] > CLEAR * np.mean(peaks)
        self.fine = AHEAD - (place + _between(peaks, place)) * _COARSE if sure else None
        before, self._before = self._before, delay if sure else None
        if before is not None and sure and abs(before - delay) <= AGREEING:
            return delay
        return None


def _coarse(sound: NDArray[np.float32]) -> NDArray[np.float32]:
    coarse: NDArray[np.float32] = sound.reshape(-1, _COARSE).mean(axis=1)
    return coarse


def _between(peaks: NDArray[np.floating[Any]], place: int) -> float:
    """Where the top of a parabola through a peak and its neighbours lies, from the peak."""
    if not 0 < place < len(peaks) - 1:
        return 0.0
    before, top, after = (float(peaks[place + step]) for step in (-1, 0, 1))
    bend = before - 2 * top + after
    return 0.5 * (before - after) / bend if bend else 0.0
