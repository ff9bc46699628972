"""Judges whether a stream runs dry so often that it should buffer more.

>>> judge = Dryness()
>>> judge.opened(0.0)
>>> judge.verdict(5.0, 1).value, judge.verdict(6.0, 4).value
('fine', 'often')
"""

from __future__ import annotations

from collections import deque
from enum import Enum

START = 1.0
"""Seconds after the opening of a stream in which running dry is no wonder."""

OFTEN = 3
OFTEN_WITHIN = 10.0
"""So many times within so many seconds: lengthen the buffer when nothing sounds."""

ALWAYS = 8
ALWAYS_WITHIN = 1.0
"""So many times within so many seconds: nothing can be understood; lengthen it at once."""


class Verdict(Enum):
    FINE = "fine"
    OFTEN = "often"
    ALWAYS = "always"


class Dryness:
    """Counts of one stream over the last seconds. Times are of any steady clock."""

    def __init__(self) -> None:
        self._opened = 0.0
        self._seen: deque[tuple[float, int]] = deque()

    def opened(self, now: float) -> None:
        """A stream was opened: what was before no longer counts."""
        self._opened = now
        self._seen.clear()

    def verdict(self, now: float, total: int) -> Verdict:
        """Judge, the stream having run dry `total` times since it was opened."""
        if now - self._opened < START:
            return Verdict.FINE
        self._seen.append((now, total))
        while now - self._seen[0][0] > OFTEN_WITHIN:
            self._seen.popleft()
        lately = min(count for at, count in self._seen if now - at <= ALWAYS_WITHIN)
        if total - lately >= ALWAYS:
            return Verdict.ALWAYS
        return Verdict.OFTEN if total - self._seen[0][1] >= OFTEN else Verdict.FINE
