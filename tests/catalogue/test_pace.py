"""Seconds of a block. The figures themselves are judgement; what is checked is that they add up."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from assistant.athletes import ATHLETES
from assistant.coach import Coach
from assistant.files import builtin_catalogue
from assistant.preparing import new_setting
from assistant.rehearsal import rehearse
from catalogue.dosing import target_for
from catalogue.model import Phase
from catalogue.pace import (
    ASK_EFFORT,
    CHANGE_SIDES,
    GET_READY,
    SECONDS_PER_REP,
    block_seconds,
    estimate_seconds,
    set_seconds,
    talk_seconds,
)
from catalogue.plan import Block


@pytest.mark.parametrize(
    ("sides", "seconds"), [("none", 30), ("shared", 30), ("each", 60 + CHANGE_SIDES)]
)
def test_sides_that_each_do_it_take_twice_as_long(make, sides, seconds):
    movement = make.movement("m", sides=sides)
    assert set_seconds(target_for(movement), movement) == seconds


def test_repetitions_have_their_own_pace(make):
    movement = make.movement("m", kind="reps", span=(5, 6))
    assert set_seconds(target_for(movement), movement) == 5 * SECONDS_PER_REP


def test_a_block_is_talk_and_sets_with_their_rests(make):
    movement = make.movement("m", sets=3, rest=40)
    block = Block(movement="m", phase=Phase.MAIN, target=target_for(movement))
    sets = 3 * (GET_READY + 30 + 40)
    assert estimate_seconds(block, movement) == talk_seconds(movement) + sets + ASK_EFFORT


def test_one_more_set_of_a_side_costs_that_side(make):
    movement = make.movement("m", sides="each", rest=40)
    target = target_for(movement)
    plain, more = (
        block_seconds(Phase.MAIN, target, movement, extra=extra) for extra in (False, True)
    )
    assert more - plain == GET_READY + 30 + 40


def test_the_talk_grows_with_its_words(make):
    short = make.movement("m")
    long = make.movement("m", hazards=("hanging",))
    assert talk_seconds(long) > talk_seconds(short) > 0


@pytest.mark.parametrize("level", ["beginner", "intermediate", "advanced"])
@pytest.mark.parametrize("minutes", [15, 30, 45])
def test_a_rehearsed_session_takes_as_long_as_planned(make, level, minutes):
    """The whole dialogue with an athlete who answers at once: within a minute."""
    catalogue = builtin_catalogue()
    profile = make.profile(
        levels=dict.fromkeys(catalogue.skills, level),
        equipment=tuple(catalogue.equipment),
        space=8.0,
    )
    coach = Coach.of(catalogue, "en")
    setting = new_setting(catalogue, profile, None, datetime(2026, 3, 2, tzinfo=UTC), minutes)
    done = rehearse(setting, ATHLETES["steady"], coach.render, coach.understand)
    assert done.ended == "done"
    assert done.state.at == pytest.approx(setting.plan.seconds, abs=60)
