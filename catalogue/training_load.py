"""How much training there was: session loads, weeks and their trend, in whole numbers.

Session load is effort (0 to 10) times minutes, in arbitrary units (Foster et al. 2001, J Strength
Cond Res 15(1):109-115). Monotony is the mean daily load of a week over its standard deviation,
rest days counting as zero, and strain is the week's load times monotony (Foster 1998, Med Sci
Sports Exerc 30:1164-1168, formulas as secondary sources quote them). Sources disagree on the
deviation: here it is the sample's (n - 1). Where every day is alike it is zero and there is no
monotony.

An effort asked twice differs by 28 % (Wallace et al. 2014, J Strength Cond Res 28:2330-2337), so
loads are whole numbers and trends are rounded. Nothing here claims to foresee an injury: ratios of
loads do not (Impellizzeri et al. 2020, Sports Med, 10.1007/s40279-020-01378-6), so there are no
zones.

>>> session_load(7, 60)
420
>>> week = week_of([300, 0, 450, 200, 0, 500, 350])
>>> week.load, round(week.monotony, 2), round(week.strain)
(1800, 1.28, 2304)
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from statistics import fmean, stdev

from catalogue.history import History, SessionDone
from catalogue.reason import Reason

WEEK = 7
BEFORE = 4
"""Weeks that the last one is compared with; the last itself is not among them."""

ALIKE = 10
"""Per cent of change that is called "about the same": well within what an effort is worth."""

ROUND_TO = 5
"""Per cent of change are told in steps of this."""


def session_load(rpe: int, minutes: float) -> int:
    """The load of one session in arbitrary units. Raises ValueError out of 0 to 10 or below 0."""
    if not 0 <= rpe <= 10:
        raise ValueError(f"effort {rpe} is not between 0 and 10")
    if minutes < 0:
        raise ValueError(f"{minutes} minutes are less than none")
    return round(rpe * minutes)


@dataclass(frozen=True)
class Week:
    """Seven days. `monotony` and `strain` are None where all days are alike."""

    load: int
    monotony: float | None
    strain: float | None


def week_of(daily: Sequence[float]) -> Week:
    """A week from its seven daily loads, rest days as zero. Raises ValueError for other lengths."""
    if len(daily) != WEEK:
        raise ValueError(f"a week has {WEEK} days, not {len(daily)}")
    total = sum(daily)
    deviation = stdev(daily)
    if deviation == 0:
        return Week(round(total), None, None)
    monotony = fmean(daily) / deviation
    return Week(round(total), monotony, total * monotony)


@dataclass(frozen=True)
class Trend:
    """The last seven days beside the four weeks before.

    `before` is the mean weekly load of those weeks, from the first week with a session on; None
    where there was none. `change` is in per cent. `unrated` counts sessions of the week whose
    effort is not known: they are not in the load.
    """

    week: Week
    before: float | None
    change: int | None
    sessions: int
    unrated: int


def daily_loads(history: History, first: int, last: int) -> list[int]:
    """The load of each day from ordinal `first` to `last`, both included; rest days are zero."""
    days = [0] * (last - first + 1)
    for done in history.sessions:
        if first <= done.day <= last and done.rpe is not None:
            days[done.day - first] += session_load(done.rpe, done.minutes)
    return days


def trend(history: History, today: int) -> Trend:
    """The seven days up to `today` and their change against the four weeks before."""
    start = today - WEEK + 1
    week = week_of(daily_loads(history, start, today))
    of_week = [done for done in history.sessions if start <= done.day <= today]
    rated = [done.day for done in history.sessions if done.rpe is not None and done.day < start]
    before: float | None = None
    if rated and rated[-1] >= start - BEFORE * WEEK:
        known = min(BEFORE, (start - 1 - rated[0]) // WEEK + 1)
        earlier = daily_loads(history, start - known * WEEK, start - 1)
        before = sum(earlier) / known
    change = round((week.load - before) / before * 100) if before else None
    return Trend(week, before, change, len(of_week), sum(map(_unrated, of_week)))


def weekly_loads(history: History, today: int, weeks: int) -> list[int]:
    """The load of each of the last `weeks` weeks, oldest first, the last one ending today."""
    daily = daily_loads(history, today - weeks * WEEK + 1, today)
    return [sum(daily[at : at + WEEK]) for at in range(0, len(daily), WEEK)]


def smoothed(daily: Sequence[float], days: int) -> list[float]:
    """Exponentially weighted moving average of daily loads, with 2 / (days + 1) for each new day.

    It begins with the first load (Williams et al. 2017, Br J Sports Med 51(3):209-210; `days` is
    7 for the recent and 28 for the long run there). Raises ValueError for less than one day.
    """
    if days < 1:
        raise ValueError(f"an average over {days} days is none")
    weight = 2 / (days + 1)
    return list(accumulate(map(float, daily), lambda so_far, new: so_far + weight * (new - so_far)))


def explain(trend_now: Trend) -> tuple[Reason, ...]:
    """The trend in plain words: the week's load, and how it compares."""
    if trend_now.sessions == 0:
        return (Reason(id="load_none"),)
    said = [Reason(id="load_week", values={"load": trend_now.week.load})]
    if trend_now.change is None:
        said.append(Reason(id="load_first"))
    elif abs(trend_now.change) <= ALIKE:
        said.append(Reason(id="load_alike"))
    else:
        percent = ROUND_TO * round(abs(trend_now.change) / ROUND_TO)
        way = "load_more" if trend_now.change > 0 else "load_less"
        said.append(Reason(id=way, values={"percent": percent}))
    if trend_now.unrated:
        said.append(Reason(id="load_unrated", values={"sessions": trend_now.unrated}))
    return tuple(said)


def _unrated(done: SessionDone) -> bool:
    return done.rpe is None
