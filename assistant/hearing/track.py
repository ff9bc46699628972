"""Sound laid on the session's time: a ring of the last seconds, read by sample number.

Sample number `n` is heard at `n / RATE` seconds. Blocks that follow each other are laid end to
end, whatever their times say within a few milliseconds: a microphone's own count is even, the
times told with it are not. Where time and count part for good, that is a gap, and is kept as one.

>>> track = Track(seconds=1.0)
>>> track.put(np.full(480, 7, np.int16), at=2.0)
>>> track.put(np.full(480, 8, np.int16), at=2.0303)
>>> [float(track.read(n, 1)[0]) for n in (31999, 32000, 32479, 32480, 32960)]
[0.0, 7.0, 7.0, 8.0, 0.0]
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from assistant.hearing.port import RATE, Samples

Floats = NDArray[np.float32]

GAP: Final = round(0.04 * RATE)
"""Samples by which time and count may differ before a gap is seen."""


class Track:
    """One stream. One thread at a time puts and reads."""

    def __init__(self, seconds: float) -> None:
        self._ring: Floats = np.zeros(round(seconds * RATE), np.float32)
        self.end: int | None = None
        """The number of the next sample; None before the first."""
        self.sounded = 0
        """The number after the last sample that was not zero."""
        self.gaps = 0
        """How often time and count have parted."""

    def put(self, samples: Samples, at: float) -> None:
        """Lay samples whose first is heard at `at` seconds behind those that are there."""
        wanted = at * RATE
        if self.end is None or abs(wanted - self.end) > GAP:
            self._jump(round(wanted))
        assert self.end is not None
        loud = np.flatnonzero(samples)
        if len(loud):
            self.sounded = self.end + int(loud[-1]) + 1
        self._write(samples[-len(self._ring) :])

    def read(self, first: int, count: int) -> Floats:
        """`count` samples from number `first` on; zeros where none are known."""
        out: Floats = np.zeros(count, np.float32)
        if self.end is None:
            return out
        begin = max(first, self.end - len(self._ring))
        end = min(first + count, self.end)
        if begin < end:
            places = np.arange(begin, end) % len(self._ring)
            out[begin - first : end - first] = self._ring[places]
        return out

    def _jump(self, number: int) -> None:
        size = len(self._ring)
        if self.end is not None:
            self.gaps += 1
            silent = number - self.end
            if silent >= size or silent < 0:
                # What lies behind a clock that went back is of another time altogether.
                self._ring.fill(0)
            else:
                self._ring[np.arange(self.end, number) % size] = 0
        self.end = number

    def _write(self, samples: Samples) -> None:
        assert self.end is not None
        size, count = len(self._ring), len(samples)
        place = self.end % size
        head = min(count, size - place)
        self._ring[place : place + head] = samples[:head]
        self._ring[: count - head] = samples[head:]
        self.end += count
