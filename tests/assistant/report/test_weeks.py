"""Load, effort and steps off by stretches of time."""

from __future__ import annotations

import itertools
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.report.chart import averages
from assistant.report.weeks import LAST, last_weeks, whole_record
from catalogue.history import History, SessionDone, SetDone
from catalogue.training_load import trend, weekly_loads

MONDAY = date(2026, 3, 2).toordinal()


def test_the_worked_week_of_session_loads() -> None:
    """Week 300 0 450 200 0 500 350: load 1800, strain 2304 (numpy's std with ddof=1, worked out
    beside the published formula: Foster 1998, Med Sci Sports Exerc 30:1164-1168)."""
    loads = [300, 0, 450, 200, 0, 500, 350]
    sessions = [
        SessionDone(number, MONDAY + number, minutes=load / 5, rpe=5)
        for number, load in enumerate(loads)
        if load
    ]
    (week,) = last_weeks(History((), tuple(sessions)), MONDAY + 6)
    assert (week.load, week.strain, week.sessions) == (1800, 2304, 5)
    assert (week.first, week.last) == (MONDAY, MONDAY + 6)
    assert week.efforts == (5, 5, 5)


SESSIONS = st.lists(
    st.tuples(st.integers(0, 900), st.integers(0, 90), st.none() | st.integers(0, 10)),
    min_size=1,
    max_size=40,
)


@given(SESSIONS, st.integers(0, 60))
def test_nothing_is_lost_or_counted_twice(
    done: list[tuple[int, int, int | None]], more: int
) -> None:
    sessions = tuple(
        SessionDone(number, MONDAY + day, minutes, rpe)
        for number, (day, minutes, rpe) in enumerate(done)
    )
    sets = tuple(
        SetDone(one.day, one.session, "line_walk", came_off=one.session % 3) for one in sessions
    )
    history = History(sets, sessions)
    today = history.sessions[-1].day + more
    _, stretches = whole_record(history, today)
    assert sum(one.sessions for one in stretches) == len(sessions)
    assert sum(one.load for one in stretches) == sum(
        (one.rpe or 0) * one.minutes for one in sessions
    )
    assert sum(one.came_off for one in stretches) == sum(one.came_off for one in sets)
    assert all(b.first == a.last + 1 for a, b in itertools.pairwise(stretches))
    weeks = last_weeks(history, today)
    assert weeks[-1].last == today
    assert len(weeks) <= LAST
    assert [one.load for one in weeks] == weekly_loads(history, today, len(weeks))


def test_the_line_is_the_mean_of_the_four_weeks_before() -> None:
    sessions = tuple(
        SessionDone(number, MONDAY + 7 * number, minutes=30, rpe=number % 7 + 1)
        for number in range(9)
    )
    history = History((), sessions)
    today = MONDAY + 7 * 8 + 6
    weeks = last_weeks(history, today)
    assert averages(weeks)[-1] == pytest.approx(trend(history, today).before)
    assert averages(weeks)[:4] == [None] * 4


def test_no_record_no_weeks() -> None:
    assert last_weeks(History(), MONDAY) == []
    assert whole_record(History(), MONDAY) == ("month", [])
