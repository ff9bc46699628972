"""Sound laid on the session's time: a ring of the last seconds, read by sample number.

Sample number `n` is heard at `n / RATE` seconds. Blocks that follow each other are laid end to
end, whatever their times say within a few milliseconds: a microphone's own count is even, the
times told with it are not. Where time and count part for good, that is a gap, and is kept as one.

>>> track = Track(seconds=1.0)
>>> track.put(np.full(480, 7, np.int16), at=2.0)
>>> track.put(np.full(480, 8, np.int16), at=2.0303)
>>> [float(track.read(n, 1)[0]) for n in (31999, 32000, 32479, 32480, 32960)]
[0.0, 7.0, 7.0, 8.0, 0.0]
>>> round(track.drift)
160
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from assistant.hearing.port import RATE, Samples

Floats = NDArray[np.float32]

GAP: Final = round(0.04 * RATE)
"""Samples by which time and count may differ before a gap is seen."""

SLOW: Final = 120 * RATE
"""Samples over which the drift of time against count is judged: single times are uncertain by
milliseconds, and what is sought is a few samples a minute."""


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
        self._line = Line()
        self.told = 0
        """How many samples have come since the last gap."""

    @property
    def drift(self) -> float:
        """By how many samples a second the times told gain on the count."""
        return self._line.slope

    def put(self, samples: Samples, at: float) -> None:
        """Lay samples whose first is heard at `at` seconds behind those that are there."""
        wanted = at * RATE
        if self.end is None or abs(wanted - self.end) > GAP:
            self._jump(round(wanted))
        assert self.end is not None
        self.told += len(samples)
        self._line.add(wanted - self.end, len(samples))
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
        self._line, self.told = Line(), 0

    def _write(self, samples: Samples) -> None:
        assert self.end is not None
        size, count = len(self._ring), len(samples)
        place = self.end % size
        head = min(count, size - place)
        self._ring[place : place + head] = samples[:head]
        self._ring[: count - head] = samples[head:]
        self.end += count


class Line:
    """A straight line through values that come one by one, the old ones counting less and less.

    >>> line = Line()
    >>> for n in range(100):
    ...     line.add(3 + 0.01 * n, RATE // 10)
    >>> round(line.slope, 2)
    0.1
    """

    def __init__(self) -> None:
        self._sums = [0.0] * 5
        """Sums of 1, x, x squared, y and x times y, the newest x being 0."""

    def add(self, value: float, samples: int) -> None:
        """A value, so many samples after the one before."""
        one, x, xx, y, xy = self._sums
        step = samples / RATE
        keep = 1 - min(1.0, samples / SLOW)
        moved = (one, x - step * one, xx - 2 * step * x + step * step * one, y, xy - step * y)
        one, x, xx, y, xy = (keep * part for part in moved)
        self._sums = [one + 1, x, xx, y + value, xy]

    @property
    def slope(self) -> float:
        """How much the value grows in a second."""
        one, x, xx, y, xy = self._sums
        spread = one * xx - x * x
        return (one * xy - x * y) / spread if spread > 1e-9 else 0.0
