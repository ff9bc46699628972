"""Scales and ticks."""

from __future__ import annotations

import itertools
from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from assistant.report.axis import Scale, day_ticks, whole_ticks


@given(st.floats(0, 5000), st.floats(0, 5000), st.integers(2, 9))
def test_whole_ticks_are_even_whole_and_few(one: float, other: float, most: int) -> None:
    low, high = sorted((one, other))
    ticks = whole_ticks(low, high, most)
    steps = {after - before for before, after in itertools.pairwise(ticks)}
    assert 2 <= len(ticks) <= most
    assert len(steps) == 1
    assert str(steps.pop()).rstrip("0") in ("1", "2", "5")
    assert ticks[0] <= low
    assert ticks[-1] >= high


DAYS = st.integers(date(2024, 1, 1).toordinal(), date(2060, 1, 1).toordinal())


@given(DAYS, DAYS, st.integers(2, 8))
def test_day_ticks_lie_within_and_are_few(one: int, other: int, most: int) -> None:
    first, last = sorted((one, other))
    ticks = day_ticks(first, last, most)
    assert 1 <= len(ticks) <= most
    assert all(first <= tick <= last for tick in ticks)
    assert ticks == sorted(set(ticks))


def test_day_ticks_are_days_people_look_for() -> None:
    def told(first: date, last: date) -> list[str]:
        ticks = day_ticks(first.toordinal(), last.toordinal())
        return [date.fromordinal(tick).isoformat() for tick in ticks]

    assert told(date(2026, 3, 2), date(2026, 3, 25)) == [
        "2026-03-02", "2026-03-09", "2026-03-16", "2026-03-23",
    ]  # fmt: skip
    assert told(date(2026, 1, 20), date(2026, 4, 20)) == ["2026-02-01", "2026-03-01", "2026-04-01"]
    assert told(date(2024, 3, 1), date(2028, 12, 1)) == [
        "2025-01-01", "2026-01-01", "2027-01-01", "2028-01-01",
    ]  # fmt: skip


def test_a_scale_turns_values_round() -> None:
    up = Scale(0, 60, 160, 10)
    assert (up(0), up(60), up(30)) == (160, 10, 85)
    assert Scale(5, 5, 0, 10)(5) == 5
