"""How two streams drift apart, so that one can be read at the pace of the other.

The second of one sound card is not quite that of another: some 20 to 100 millionths, which is a
sample or two a second between a loudspeaker and a microphone of their own. An adaptive filter
bears a constant delay of any size, but follows a creeping one badly. The times told with the
blocks show the drift: single ones are wrong by milliseconds, but a line through a minute of them
is not. Only its slope is used; where it lies is the filter's affair.

>>> round(least_rate(10.0), 2), round(least_rate(60.0), 2)
(1.81, 0.12)
"""

from __future__ import annotations

from typing import Final

from assistant.hearing.port import RATE
from assistant.hearing.track import Track

UNSURE: Final = 0.64
"""Samples a second (40 millionths) by which the slope may be wrong after 20 seconds."""

LEAST: Final = 0.08
"""Samples a second (5 millionths) that a filter follows by itself."""

MOST: Final = 8.0
"""Samples a second (500 millionths) beyond which it is no drift but a fault."""


class Skew:
    """The shift between two streams, asked for once for every block of `seconds`."""

    def __init__(self, seconds: float) -> None:
        self._seconds = seconds
        self._shift = 0.0

    def shift(self, first: Track, second: Track) -> float:
        """Samples by which `first` must be read later than its count says, to go with `second`."""
        rate = second.drift - first.drift
        if least_rate(min(first.told, second.told) / RATE) < abs(rate) < MOST:
            self._shift += rate * self._seconds
        return self._shift


def least_rate(seconds: float) -> float:
    """Samples a second of drift that are believed after so many seconds of times."""
    return float(max(LEAST, UNSURE * (20.0 / max(seconds, 1.0)) ** 1.5))
