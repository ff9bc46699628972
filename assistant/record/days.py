"""Days of sessions in the order in which they were trained, though a clock may have been wrong."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence


def in_order(days: Sequence[int]) -> list[int]:
    """The same days so that none falls below the one before it.

    The fewest possible are changed: those off the longest run that never falls. Each of them
    takes the day of the session before it (the first ones, of the one after).

    >>> in_order([5, 6, 900, 7, 7])
    [5, 6, 6, 7, 7]
    >>> in_order([0, 6, 7])
    [0, 6, 7]
    >>> in_order([5, 6, 0, 7])
    [5, 6, 6, 7]
    """
    lowest_ends: list[int] = []
    ends_at: list[int] = []
    before: list[int | None] = []
    for index, day in enumerate(days):
        length = bisect_right(lowest_ends, day)
        before.append(ends_at[length - 1] if length else None)
        lowest_ends[length : length + 1] = [day]
        ends_at[length : length + 1] = [index]
    kept: set[int] = set()
    at = ends_at[-1] if ends_at else None
    while at is not None:
        kept.add(at)
        at = before[at]
    current = days[min(kept)] if kept else 0
    result = []
    for index, day in enumerate(days):
        current = day if index in kept else current
        result.append(current)
    return result
