"""How two streams drift apart, so that one can be read at the pace of the other.

The second of one sound card is not quite that of another: some 20 to 100 millionths, which is a
sample or two a second between a loudspeaker and a microphone of their own. An adaptive filter
bears a constant delay of any size, but follows a creeping one badly. The times that devices tell
creep by milliseconds themselves where nothing drifts at all, so they are not asked: the drift is
the slope of the delays that are found in the sounds, by the median of the slopes between any two
of them (Theil and Sen), which single wrong ones do not move.

>>> skew = Skew(0.5)
>>> for second in range(40):
...     skew.found(700 + 1.6 * second, second * RATE)
>>> round(skew.rate, 2)
1.6
>>> round(skew.shift(), 2), round(skew.shift(), 2)
(-0.8, -1.6)
"""

from __future__ import annotations

from collections import deque
from typing import Final

import numpy as np

from assistant.hearing.port import RATE

LOOKED_BACK: Final = 40 * RATE
"""Samples over which delays are compared."""

ENOUGH: Final = 6
"""Delays that it takes to tell a slope."""

SPREAD: Final = 3 * RATE
"""Samples that must lie between the first and the last of them."""

LEAST: Final = 0.08
"""Samples a second (5 millionths) that a filter follows by itself."""

MOST: Final = 8.0
"""Samples a second (500 millionths) beyond which it is no drift but a fault."""

APART: Final = 24.0
"""Samples (1.5 ms) by which a delay may lie off the line before everything is another one."""

SURE: Final = 4.0
"""How many times as large as its own uncertainty a slope must be."""


class Skew:
    """The shift between two streams, asked for once for every block of `seconds`."""

    def __init__(self, seconds: float) -> None:
        self._seconds = seconds
        self._shift = 0.0
        self._delays: deque[tuple[float, float]] = deque()
        """When, in seconds, and the delay that was found then."""
        self.rate = 0.0
        """Samples a second by which the delay grows; 0 where that is not known."""

    def found(self, delay: float, at: int) -> None:
        """A delay, in samples of the streams as they were told, at sample number `at`."""
        if self._delays and abs(delay - self._expected(at / RATE)) > APART:
            self._delays.clear()
            self.rate = 0.0
        self._delays.append((at / RATE, delay))
        while at / RATE - self._delays[0][0] > LOOKED_BACK / RATE:
            self._delays.popleft()
        if len(self._delays) >= ENOUGH:
            self._judge()

    def shift(self) -> float:
        """Samples by which the first stream must be read later than its count says, to go with the
        second: it is read ever earlier where the delay grows."""
        self._shift -= self.rate * self._seconds
        return self._shift

    def _expected(self, now: float) -> float:
        times, delays = np.array(self._delays).T
        return float(np.median(delays + self.rate * (now - times)))

    def _judge(self) -> None:
        times, delays = np.array(self._delays).T
        if times[-1] - times[0] < SPREAD / RATE:
            return
        first, second = np.triu_indices(len(times), 1)
        apart = times[second] - times[first]
        slope = float(np.median((delays[second] - delays[first])[apart > 0] / apart[apart > 0]))
        rest = delays - slope * times
        error = 1.48 * float(np.median(np.abs(rest - np.median(rest))))
        unsure = error / (np.sqrt(len(times)) * float(np.std(times)))
        believed = LEAST < abs(slope) < MOST and abs(slope) > SURE * unsure
        self.rate = slope if believed else 0.0
