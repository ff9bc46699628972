"""Days in order, though a clock may have been wrong."""

from __future__ import annotations

from datetime import date
from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.record.days import EARLIEST, in_order


@given(st.lists(st.integers(0, 12), max_size=9))
def test_never_falls_and_changes_as_little_as_can_be(days: list[int]) -> None:
    fixed = in_order(days, earliest=0)
    assert len(fixed) == len(days)
    assert all(left <= right for left, right in pairwise(fixed))
    assert set(fixed) <= set(days)
    changed = sum(before != after for before, after in zip(days, fixed, strict=True))
    # Tried out in full: the longest run that never falls.
    longest = max(
        (
            size
            for size in range(len(days) + 1)
            for run in combinations(days, size)
            if list(run) == sorted(run)
        ),
        default=0,
    )
    assert changed == len(days) - longest


@given(st.lists(st.integers(EARLIEST, EARLIEST + 9000)).map(sorted))
def test_a_clock_that_was_right_is_believed(days: list[int]) -> None:
    assert in_order(days) == days


@pytest.mark.parametrize(
    ("days", "fixed"),
    [([], []), ([9], [9]), ([9, 1, 2, 3], [1, 1, 2, 3]), ([1, 2, 99, 3], [1, 2, 2, 3])],
)
def test_a_wrong_day_is_a_neighbours(days: list[int], fixed: list[int]) -> None:
    assert in_order(days, earliest=0) == fixed


def test_a_clock_that_was_not_set_is_not_believed() -> None:
    unset, monday = date(1970, 1, 1).toordinal(), date(2025, 1, 6).toordinal()
    assert in_order([monday, unset, monday + 3]) == [monday, monday, monday + 3]
    assert in_order([unset, unset, monday]) == [monday] * 3
    assert in_order([monday, unset]) == [monday] * 2
    assert in_order([unset, unset + 1]) == [unset, unset + 1]
