"""Stretches of time that figures are gathered in: sessions, weeks, months or quarters.

A chart with a point for each of a thousand sessions can not be read, so the shortest stretch is
taken that leaves no more than `MOST` of them.

>>> from datetime import date
>>> day = date(2026, 2, 11).toordinal()
>>> [date.fromordinal(begin_of(day, grain)).isoformat() for grain in ("week", "month", "quarter")]
['2026-02-09', '2026-02-01', '2026-01-01']
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Literal

Grain = Literal["session", "week", "month", "quarter", "year"]

MOST = 48
"""Points on one chart, at most."""

WEEK = 7


def begin_of(day: int, grain: Grain) -> int:
    """The first day (ordinal) of the stretch that holds `day`; weeks begin on Monday (ISO 8601)."""
    if grain == "session":
        return day
    when = date.fromordinal(day)
    if grain == "week":
        return day - when.weekday()
    months = {"month": 1, "quarter": 3, "year": 12}[grain]
    return date(when.year, (when.month - 1) // months * months + 1, 1).toordinal()


def grain_for(days: Iterable[int], most: int = MOST) -> Grain:
    """The shortest stretch that gathers the days into at most `most`; years where none does.

    Each day given stands for one session.
    """
    known = list(days)
    if len(known) <= most:
        return "session"
    for grain in ("week", "month", "quarter"):
        if len({begin_of(day, grain) for day in known}) <= most:
            return grain
    return "year"
