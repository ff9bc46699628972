"""Days of sessions in the order in which they were trained, though a clock may have been wrong."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from datetime import date

EARLIEST = date(2024, 1, 1).toordinal()
"""No session was trained before there was a cuewalk: an older day is that of a clock not set."""


def in_order(days: Sequence[int], earliest: int = EARLIEST) -> list[int]:
    """The same days (proleptic ordinals) so that none falls below the one before it.

    Those before `earliest` are wrong, unless all are. Of the others the fewest possible are
    changed: those off the longest run that never falls. Each one changed takes the day of the
    session before it (the first ones, of the one after).

    >>> in_order([5, 6, 900, 7, 7], earliest=0)
    [5, 6, 6, 7, 7]
    >>> in_order([5, 0, 7], earliest=1)
    [5, 5, 7]
    """
    believable = [index for index, day in enumerate(days) if day >= earliest]
    kept = _longest_run(days, believable or range(len(days)))
    current = days[min(kept)] if kept else 0
    result = []
    for index, day in enumerate(days):
        current = day if index in kept else current
        result.append(current)
    return result


def _longest_run(days: Sequence[int], candidates: Sequence[int]) -> set[int]:
    """Indices of the longest run of candidates that never falls (by patience sorting)."""
    lowest_ends: list[int] = []
    ends_at: list[int] = []
    before: dict[int, int | None] = {}
    for index in candidates:
        length = bisect_right(lowest_ends, days[index])
        before[index] = ends_at[length - 1] if length else None
        lowest_ends[length : length + 1] = [days[index]]
        ends_at[length : length + 1] = [index]
    run: set[int] = set()
    at = ends_at[-1] if ends_at else None
    while at is not None:
        run.add(at)
        at = before[at]
    return run
