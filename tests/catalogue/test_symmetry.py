"""Left against right. The index is the usual one, weaker over stronger times 100; 90 is a clinical
threshold (J Athl Train 57(9-10):946) put to a use of our own."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.symmetry import index, more_for, symmetry

AMOUNT = st.floats(0.0, 600.0)


@pytest.mark.parametrize(("left", "right", "score"), [(27, 30, 90), (30, 27, 90), (5, 6, 83)])
def test_the_index(left, right, score):
    assert index(left, right) == score


def test_nothing_on_either_side_is_even():
    assert index(0, 0) == 100


@given(left=AMOUNT, right=AMOUNT)
def test_the_index_is_between_0_and_100_and_takes_no_side(left, right):
    assert 0 <= index(left, right) <= 100
    assert index(left, right) == index(right, left)


def _log(make, *pairs, movement="swing", off=(0, 0)):
    sessions = []
    for number, (left, right) in enumerate(pairs, 1):
        for side, amount, steps in (("left", left, off[0]), ("right", right, off[1])):
            sessions.append(make.session(movement, number, amount, sides=(side,), came_off=steps))
    return make.history(*sessions)


def test_the_weaker_side_under_ninety(make):
    found = symmetry("swing", _log(make, (30, 24), (30, 26)))
    assert found is not None
    assert (found.left, found.right, found.index, found.weaker) == (30, 25, 83, "right")


def test_ninety_is_even(make):
    found = symmetry("swing", _log(make, (30, 27), (30, 27)))
    assert found is not None
    assert (found.index, found.weaker) == (90, None)


def test_a_single_session_gives_no_verdict(make):
    assert symmetry("swing", _log(make, (30, 10))) is None


def test_sessions_with_one_side_do_not_count(make):
    one = make.session("swing", 9, 5.0, sides=("left",))
    history = make.history(one, _log(make, (30, 30), (30, 30)).sets)
    found = symmetry("swing", history)
    assert found is not None
    assert found.index == 100


def test_only_the_last_three_sessions_count(make):
    found = symmetry("swing", _log(make, (30, 1), (30, 30), (30, 30), (30, 30)))
    assert found is not None
    assert found.index == 100


def test_steps_off_mark_a_side_that_reaches_its_seconds(make):
    found = symmetry("swing", _log(make, (30, 30), (30, 30), off=(2, 0)))
    assert found is not None
    assert (found.index, found.weaker, found.came_off_left) == (100, "left", 4)


def test_a_step_off_more_or_less_is_nothing(make):
    found = symmetry("swing", _log(make, (30, 30), (30, 30), off=(2, 3)))
    assert found is not None
    assert found.weaker is None


def test_the_weaker_side_is_offered_more_and_told_why(make):
    movement = make.movement("swing", sides="each")
    found = more_for(movement, _log(make, (30, 24), (30, 26)))
    assert found is not None
    side, reason = found
    assert side == "right"
    assert reason.values == {"movement": "swing", "side": "right", "percent": 83}
    steps = more_for(movement, _log(make, (30, 30), (30, 30), off=(0, 2)))
    assert steps is not None
    assert steps[1].values["steps"] == 4
    assert more_for(movement, _log(make, (30, 30), (30, 30))) is None
