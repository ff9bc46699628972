"""Seven days ahead: which are for training, what each trains, and which are for rest.

How many days: the upper end of what is advised for strength training, two to three days a week
for beginners, three to four at intermediate level and four to five at advanced level (ACSM position
stand 2009, Med Sci Sports Exerc 41(3):687-708), since sessions at home are short (judgement).
"""

from __future__ import annotations

from dataclasses import dataclass
from statistics import median_low

from catalogue.conditions import LEVELS, Conditions, level_index
from catalogue.history import History
from catalogue.model import Catalogue, Level, Profile
from catalogue.plan import Plan
from catalogue.planning import NothingToTrainError, plan_session
from catalogue.reason import Reason

DAYS = 7
DAYS_BY_LEVEL = {Level.BEGINNER: 3, Level.INTERMEDIATE: 4, Level.ADVANCED: 5}
REST_BETWEEN_UP_TO = 3
"""With so many training days or fewer, none follows another (judgement)."""


@dataclass(frozen=True)
class DayPlan:
    """One day (a date's ordinal): a plan, or the reason why there is none."""

    day: int
    plan: Plan | None
    reason: Reason | None = None


def days_a_week(profile: Profile) -> int:
    """Training days by the middle of the levels that the coach set; a beginner's where none is."""
    indexes = [level_index(level) for level in profile.levels.values()] or [0]
    return DAYS_BY_LEVEL[LEVELS[median_low(indexes)]]


def training_days(count: int, *, rest_first: bool = False) -> tuple[int, ...]:
    """`count` of seven days (1 to 7), numbered from 0, spread evenly; `rest_first` leaves 0 free
    where there is room for it.

    >>> training_days(3), training_days(4), training_days(3, rest_first=True)
    ((0, 2, 4), (0, 1, 3, 5), (1, 3, 5))
    """
    if not 1 <= count <= DAYS:
        raise ValueError(f"{count} training days do not fit a week: give 1 to {DAYS}")
    spread = [place * DAYS // count for place in range(count)]
    shift = 1 if rest_first and count <= REST_BETWEEN_UP_TO else 0
    return tuple(place + shift for place in spread)


def plan_week(
    catalogue: Catalogue,
    profile: Profile,
    conditions: Conditions,
    history: History,
    first_day: int,
    minutes: int | None = None,
    count: int | None = None,
) -> tuple[DayPlan, ...]:
    """Plan the seven days from `first_day` (a date's ordinal).

    Each plan knows those before it, so that skills take turns; targets are those of today's log,
    for nobody knows yet what the week will bring. `count` is the number of training days (by level
    where None). A day that has been trained on already is kept free. Where nothing can be trained
    the day tells why.
    """
    trained = {done.day for done in history.sessions} | {done.day for done in history.sets}
    number = days_a_week(profile) if count is None else count
    chosen = training_days(number, rest_first=first_day - 1 in trained)
    earlier: list[tuple[int, Plan]] = []
    days: list[DayPlan] = []
    for place in range(DAYS):
        day = first_day + place
        if day in trained:
            days.append(DayPlan(day, None, Reason(id="week_done")))
        elif place not in chosen:
            days.append(DayPlan(day, None, Reason(id="week_rest")))
        else:
            try:
                plan = plan_session(
                    catalogue, profile, conditions, history, day, minutes, earlier=earlier
                )
            except NothingToTrainError as error:
                days.append(DayPlan(day, None, error.reasons[0] if error.reasons else None))
                continue
            earlier.append((day, plan))
            days.append(DayPlan(day, plan))
    return tuple(days)
