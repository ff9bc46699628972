"""Where values and days go on a chart: scales, and ticks that people count in.

>>> whole_ticks(0, 47)
[0, 10, 20, 30, 40, 50]
>>> Scale(0, 10, 100, 0)(5)
50.0
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from math import ceil, floor
from typing import NamedTuple


class Tick(NamedTuple):
    """A mark on an axis: its place in the drawing, and the value or day it stands for."""

    at: float
    value: int


@dataclass(frozen=True)
class Scale:
    """A straight line from values to places; values that are all alike go to the middle."""

    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float) -> float:
        if self.high == self.low:
            return round((self.start + self.end) / 2, 1)
        share = (value - self.low) / (self.high - self.low)
        return round(self.start + share * (self.end - self.start), 1)


def whole_ticks(low: float, high: float, most: int = 6) -> list[int]:
    """At most `most` whole numbers (2 or more), evenly apart by 1, 2 or 5 times a power of ten.

    The first is at or under `low`, the last at or over `high`.
    """
    step, turn = 1, 0
    while True:
        first, last = floor(low / step), ceil(high / step)
        last = max(last, first + 1)
        if last - first + 1 <= most:
            return [number * step for number in range(first, last + 1)]
        step = step * 5 // 2 if turn % 3 == 1 else step * 2
        turn += 1


def day_ticks(first: int, last: int, most: int = 4) -> list[int]:
    """At most `most` days (ordinals) from `first` to `last` where a reader looks for one.

    Single days, else Mondays, else first days of a month, of some months, or of a year, whichever
    are the most that fit.
    """
    days = range(first, last + 1)
    if len(days) <= most:
        return list(days)
    mondays = [day for day in days if date.fromordinal(day).weekday() == 0]
    if len(mondays) <= most:
        return mondays or [first, last]
    months = [day for day in days if date.fromordinal(day).day == 1]
    for every in (1, 2, 3, 6, 12, 24, 60, 120, 600):
        chosen = [day for day in months if _month(day) % every == 0]
        if 0 < len(chosen) <= most:
            return chosen
        if not chosen:
            break
    return [first, last]


def _month(day: int) -> int:
    when = date.fromordinal(day)
    return when.year * 12 + when.month - 1
