"""Load, effort and steps off by weeks, and by longer stretches for a long record."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

from assistant.report.spans import MOST, WEEK, Grain, begin_of
from catalogue.history import History, SessionDone
from catalogue.training_load import daily_loads, session_load, week_of

LAST = 26
"""Weeks that are shown one by one; the whole record is shown in longer stretches."""

LONGER: tuple[Grain, ...] = ("month", "quarter", "year")


@dataclass(frozen=True)
class Stretch:
    """What was trained from `first` to `last` day (ordinals).

    `load` is the sum of effort times minutes of the sessions whose effort is known, `unrated`
    the number of the others. `strain` is known for a whole week whose days differ. `efforts` is
    lowest, mean and highest effort of a session, None where none is known.
    """

    first: int
    last: int
    sessions: int
    minutes: int
    load: int
    unrated: int
    efforts: tuple[int, int, int] | None
    came_off: int
    strain: int | None = None


def last_weeks(history: History, today: int, most: int = LAST) -> list[Stretch]:
    """Weeks of seven days that end today, oldest first, from the first one with a session on."""
    if not history.sessions:
        return []
    count = min(most, max(1, (today - history.sessions[0].day) // WEEK + 1))
    off = steps_off(history)
    return [
        _stretch(history.sessions, off, first, first + WEEK - 1, _strain(history, first))
        for first in range(today - count * WEEK + 1, today + 1, WEEK)
    ]


def whole_record(history: History, today: int) -> tuple[Grain, list[Stretch]]:
    """The whole record in months, or in longer stretches where there are many; oldest first.

    A stretch without any session is there too, with nothing in it.
    """
    if not history.sessions:
        return "month", []
    days = range(history.sessions[0].day, max(today, history.sessions[-1].day) + 1)
    begins: list[int] = []
    grain: Grain = "month"
    for grain in LONGER:
        begins = sorted({begin_of(day, grain) for day in days})
        if len(begins) <= MOST:
            break
    off = steps_off(history)
    ends = [*(begin - 1 for begin in begins[1:]), days[-1]]
    spans = zip(begins, ends, strict=True)
    return grain, [_stretch(history.sessions, off, first, last) for first, last in spans]


def steps_off(history: History) -> Counter[int]:
    """Steps off by day."""
    found: Counter[int] = Counter()
    for done in history.sets:
        found[done.day] += done.came_off
    return found


def _strain(history: History, first: int) -> int | None:
    strain = week_of(daily_loads(history, first, first + WEEK - 1)).strain
    return None if strain is None else round(strain)


def _stretch(
    sessions: Sequence[SessionDone],
    off: Counter[int],
    first: int,
    last: int,
    strain: int | None = None,
) -> Stretch:
    own = [done for done in sessions if first <= done.day <= last]
    efforts = [done.rpe for done in own if done.rpe is not None]
    return Stretch(
        first=first,
        last=last,
        sessions=len(own),
        minutes=round(sum(done.minutes for done in own)),
        load=sum(session_load(done.rpe, done.minutes) for done in own if done.rpe is not None),
        unrated=len(own) - len(efforts),
        efforts=(min(efforts), round(fmean(efforts)), max(efforts)) if efforts else None,
        came_off=sum(off[day] for day in range(first, last + 1)),
        strain=strain,
    )
