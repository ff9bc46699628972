"""Session load, weeks and averages against published formulas and independent libraries.

Session load: Foster et al. 2001, J Strength Cond Res 15(1):109-115. Monotony and strain: Foster
1998, Med Sci Sports Exerc 30:1164-1168, as secondary sources quote it; the figures of the example
week were computed with numpy. The moving average was computed with pandas,
`Series.ewm(span=N, adjust=False)`, which weighs a new day with 2 / (N + 1).
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.history import History, SessionDone
from catalogue.training_load import (
    daily_loads,
    explain,
    session_load,
    smoothed,
    trend,
    week_of,
    weekly_loads,
)

WEEK = [300, 0, 450, 200, 0, 500, 350]
LOADS = st.lists(st.integers(0, 1200), min_size=7, max_size=7)


def _log(*days, rpe=5, minutes=20.0):
    """One session on each day."""
    return History(
        sessions=tuple(SessionDone(n, day, minutes, rpe) for n, day in enumerate(days, 1))
    )


def test_the_published_example_of_a_session():
    """Effort 7 for 60 minutes is 420."""
    assert session_load(7, 60) == 420


@pytest.mark.parametrize(("rpe", "minutes"), [(11, 30), (-1, 30), (5, -1)])
def test_nonsense_is_refused(rpe, minutes):
    with pytest.raises(ValueError, match=r"is not between|less than none"):
        session_load(rpe, minutes)


def test_the_example_week():
    """With the sample's deviation (n - 1), 200.891: 1800, 1.2800 and 2304.02."""
    week = week_of(WEEK)
    assert week.load == 1800
    assert week.monotony == pytest.approx(1.2800, abs=5e-5)
    assert week.strain == pytest.approx(2304.02, abs=0.01)


def test_the_other_convention_is_not_used():
    """With the population's deviation (n), 185.989, monotony would be 1.3826."""
    assert week_of(WEEK).monotony != pytest.approx(1.3826, abs=0.01)


@given(daily=LOADS)
def test_weeks_agree_with_numpy(daily):
    week = week_of(daily)
    deviation = np.std(daily, ddof=1)
    if deviation == 0:
        assert (week.monotony, week.strain) == (None, None)
    else:
        assert week.monotony == pytest.approx(np.mean(daily) / deviation)
        assert week.strain == pytest.approx(np.sum(daily) * np.mean(daily) / deviation)


def test_a_week_has_seven_days():
    with pytest.raises(ValueError, match="7 days, not 6"):
        week_of(WEEK[:6])


class TestSmoothed:
    def test_the_pandas_example(self):
        """21 days of 100 and 7 of 200: 186.6516 over 7 days, 139.3598 over 28, ratio 1.33935."""
        daily = [100] * 21 + [200] * 7
        recent, long = smoothed(daily, 7)[-1], smoothed(daily, 28)[-1]
        assert recent == pytest.approx(186.6516, abs=5e-5)
        assert long == pytest.approx(139.3598, abs=5e-5)
        assert recent / long == pytest.approx(1.33935, abs=5e-6)

    @given(daily=st.lists(st.integers(0, 900), min_size=1, max_size=40), days=st.integers(1, 28))
    def test_the_average_is_a_weighted_sum(self, daily, days):
        """The closed form, with numpy: every load weighs 1 - alpha for each later day."""
        alpha = 2 / (days + 1)
        weights = alpha * (1 - alpha) ** np.arange(len(daily))[::-1]
        weights[0] = (1 - alpha) ** (len(daily) - 1)
        assert smoothed(daily, days)[-1] == pytest.approx(float(weights @ np.array(daily)))

    def test_an_average_of_no_days_is_refused(self):
        with pytest.raises(ValueError, match="0 days"):
            smoothed([1], 0)


class TestDays:
    def test_rest_days_are_zero_and_two_sessions_add_up(self):
        history = _log(10, 12, 12)
        assert daily_loads(history, 10, 13) == [100, 0, 200, 0]

    def test_weeks_end_today(self):
        assert weekly_loads(_log(1, 8, 14), 14, 2) == [100, 200]

    def test_no_effort_no_load(self):
        assert daily_loads(_log(10, rpe=None), 10, 10) == [0]


class TestTrend:
    def test_the_change_is_against_the_mean_of_four_weeks(self):
        days = [*range(1, 29, 7), 29, 31]
        found = trend(_log(*days), 35)
        assert (found.week.load, found.before, found.change) == (200, 100.0, 100)

    def test_weeks_before_the_first_session_do_not_count(self):
        found = trend(_log(22, 24, 29), 35)
        assert (found.before, found.change) == (200.0, -50)

    def test_without_earlier_sessions_there_is_no_change(self):
        found = trend(_log(29), 35)
        assert (found.before, found.change) == (None, None)

    def test_a_break_of_over_four_weeks_leaves_nothing_to_compare(self):
        assert trend(_log(1, 60), 62).change is None

    def test_sessions_without_an_effort_are_counted_apart(self):
        history = History(sessions=(SessionDone(1, 30, 20, None), SessionDone(2, 31, 20, 5)))
        found = trend(history, 35)
        assert (found.sessions, found.unrated, found.week.load) == (2, 1, 100)


class TestWords:
    def _ids(self, *days, today=35):
        return [reason.id for reason in explain(trend(_log(*days), today))]

    def test_nothing_at_all(self):
        assert self._ids(today=99) == ["load_none"]

    def test_the_first_week(self):
        assert self._ids(33) == ["load_week", "load_first"]

    def test_alike(self):
        assert self._ids(1, 8, 15, 22, 29) == ["load_week", "load_alike"]

    def test_more_and_less(self):
        assert self._ids(22, 29, 30)[1] == "load_more"
        assert self._ids(22, 23, 29)[1] == "load_less"

    @given(efforts=st.lists(st.integers(0, 10), min_size=6, max_size=6))
    def test_only_whole_numbers_are_told(self, efforts):
        history = History(
            sessions=tuple(SessionDone(n, 5 * n + 3, 17.3, rpe) for n, rpe in enumerate(efforts, 1))
        )
        for reason in explain(trend(history, 35)):
            assert all(isinstance(value, int) for value in reason.values.values())
            assert reason.values.get("percent", 0) % 5 == 0
