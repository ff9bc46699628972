"""Seconds of a block. The figures themselves are judgement; what is checked is that they add up."""

from __future__ import annotations

import pytest

from assistant.athletes import ATHLETES
from assistant.coach import Coach
from assistant.files import builtin_catalogue
from assistant.record.history import sets_done
from assistant.rehearsal import rehearse
from assistant.session.state import Setting
from catalogue.dosing import target_for
from catalogue.history import History
from catalogue.model import Phase
from catalogue.pace import (
    CHANGE_SIDES,
    SECONDS_PER_REP,
    START,
    Talk,
    block_seconds,
    estimate_seconds,
    set_seconds,
)
from catalogue.plan import Block
from catalogue.planning import plan_session
from catalogue.standing import conditions_for


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
    talk = Talk()
    sets = 3 * (START + 30 + 40) + 2 * talk.next_set()
    assert estimate_seconds(block, movement, talk) == talk.before(movement, Phase.MAIN) + sets


def test_one_more_set_of_a_side_costs_that_side(make):
    movement = make.movement("m", sides="each", rest=40)
    target = target_for(movement)
    plain, more = (
        block_seconds(Phase.MAIN, target, movement, Talk(), extra=extra) for extra in (False, True)
    )
    assert more - plain == Talk().next_set() + START + 30 + 40


def before(movement, **talk):
    return Talk(**talk).before(movement, Phase.MAIN)


def test_the_talk_grows_with_its_words(make):
    short = make.movement("m")
    long = make.movement("m", hazards=("hanging",))
    assert before(long) > before(short) > 0


def test_the_talk_is_shorter_of_what_is_known_and_at_less_detail(make):
    movement = make.movement("m", hazards=("hanging",))
    known, heard = {"known": frozenset({"m"})}, {"heard": frozenset({"m"})}
    assert before(movement, **known) < before(movement)
    assert before(movement, **heard) <= before(movement)
    assert before(movement, detail="brief") < before(movement)
    assert before(movement, detail="full", **known) == before(movement)


def test_a_quick_voice_leaves_more_time(make):
    movement = make.movement("m")
    assert before(movement, rate=250) < before(movement, rate=165) < before(movement, rate=100)
    assert Talk(rate=250).opening() < Talk().opening()


def test_the_opening_is_longer_the_first_time():
    assert Talk(first_time=True).opening() > Talk(first_time=False).opening()


@pytest.mark.parametrize("level", ["beginner", "intermediate", "advanced"])
@pytest.mark.parametrize("minutes", [20, 40, 60])
def test_sessions_end_when_they_should_the_first_and_the_tenth(make, minutes, level):
    """The whole dialogue with an athlete who answers at once: within a minute, or a twentieth, of
    what was asked for, however well everything is known by then."""
    catalogue = builtin_catalogue()
    profile = make.profile(
        levels=dict.fromkeys(catalogue.skills, level),
        equipment=tuple(catalogue.equipment),
        space=8.0,
    )
    coach = Coach.of(catalogue, "en")
    past, heard = History(), frozenset()
    for number in range(10):
        day = 400 + 2 * number
        talk = Talk.to(profile, past, day, heard, first_time=number == 0)
        conditions = conditions_for(catalogue, profile, past)
        plan = plan_session(catalogue, profile, conditions, past, day, minutes, talk=talk)
        setting = Setting(catalogue, profile, plan, past, heard, number == 0, day)
        done = rehearse(setting, ATHLETES["steady"], coach.render, coach.understand, number)
        assert done.ended == "done"
        if number in (0, 9):
            assert done.state.at == pytest.approx(minutes * 60, rel=0.05, abs=60), number
        past = History((*past.sets, *sets_done(done.facts, number, day)))
        heard = done.state.cautions
