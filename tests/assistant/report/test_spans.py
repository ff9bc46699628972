"""Stretches of time; weeks are checked against ISO 8601 as the standard library has it."""

from __future__ import annotations

from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from assistant.report.spans import MOST, begin_of, grain_for

DAYS = st.integers(date(2024, 1, 1).toordinal(), date(2060, 1, 1).toordinal())


@given(DAYS)
def test_a_stretch_holds_its_day(day: int) -> None:
    when = date.fromordinal(day)
    year, week, _ = when.isocalendar()
    assert begin_of(day, "week") == date.fromisocalendar(year, week, 1).toordinal()
    assert date.fromordinal(begin_of(day, "month")) == when.replace(day=1)
    quarter = date.fromordinal(begin_of(day, "quarter"))
    assert quarter.month in (1, 4, 7, 10)
    assert 0 <= day - quarter.toordinal() <= 91
    assert date.fromordinal(begin_of(day, "year")) == date(when.year, 1, 1)


def test_the_grain_grows_with_the_record() -> None:
    first = date(2024, 1, 1).toordinal()
    assert grain_for(range(first, first + MOST)) == "session"
    assert grain_for(range(first, first + 300)) == "week"
    assert grain_for(range(first, first + 3 * 365)) == "month"
    assert grain_for(range(first, first + 5 * 365)) == "quarter"
    assert grain_for(range(first, first + 40 * 365)) == "year"
    assert grain_for([first] * 1000) == "week"
