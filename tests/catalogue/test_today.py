from __future__ import annotations

import pytest

from catalogue.conditions import Conditions
from catalogue.model import Phase
from catalogue.order import turn
from catalogue.plan import Block, Plan, Target
from catalogue.substituter import Substituter
from catalogue.today import due_today, tires_arms, wants_fresh


@pytest.fixture
def world(make):
    return make.catalogue(
        make.movement("a0", 0, skill="a"),
        make.movement("b0", 0, skill="b", hazards=("hanging",), loads=("hand",)),
        make.movement("c0", 0, skill="c", equipment=("bar",)),
    )


def _order(world, make, history=None, day=10, earlier=(), equipment=("bar",)):
    conditions = Conditions(equipment=frozenset(equipment), space=9.0)
    due, barred = due_today(
        Substituter(world), make.profile(), conditions, history or make.history(), day, earlier
    )
    return [item.skill.id for item in due], barred


def test_untrained_skills_come_first_in_the_catalogues_order(world, make):
    history = make.history(make.session("a0", 1, 30, day=3))
    assert _order(world, make)[0] == ["a", "b", "c"]
    assert _order(world, make, history)[0] == ["b", "c", "a"]


def test_the_longest_untrained_comes_first(world, make):
    history = make.history(
        make.session("c0", 1, 30, day=1),
        make.session("b0", 2, 30, day=2),
        make.session("a0", 3, 30, day=3),
    )
    assert _order(world, make, history)[0] == ["c", "b", "a"]


def test_hanging_comes_last_on_the_day_after_hanging(world, make):
    history = make.history(
        make.session("b0", 1, 30, day=9), make.session("a0", 2, 30, day=9),
        make.session("c0", 3, 30, day=9),
    )  # fmt: skip
    assert _order(world, make, history, day=10)[0][-1] == "b"
    assert _order(world, make, history, day=11)[0] == ["a", "b", "c"]


def test_plans_not_done_yet_count_for_the_order(world, make):
    block = Block(movement="a0", phase=Phase.MAIN, target=Target(seconds=30, sets=1, rest=0))
    plan = Plan(blocks=(block,), seconds=90)
    assert _order(world, make, earlier=[(9, plan)])[0] == ["b", "c", "a"]


def test_what_can_not_be_trained_is_told_with_its_skill(world, make):
    due, barred = _order(world, make, equipment=())
    assert due == ["a", "b"]
    assert [reason.id for reason in barred] == ["left_out_not_without"]
    assert barred[0].values == {"skill": "c", "movement": "c0", "equipment": "bar"}


def test_skill_before_strength_and_fresh_arms_before_tired_ones(make):
    order = [
        make.movement("roll", loads=("ankle",), hazards=("rolling",)),
        make.movement("step", loads=("ankle",), kind="work"),
        make.movement("squat", loads=("knee",)),
        make.movement("hang", loads=("hand",), hazards=("hanging",)),
        make.movement("crawl", loads=("wrist",), kind="work"),
        make.movement("plank", loads=("wrist",)),
    ]
    turns = [turn(movement) for movement in order]
    assert turns == sorted(set(turns))
    assert [wants_fresh(movement) for movement in order].index(True) == 3
    assert [movement.id for movement in order if tires_arms(movement)] == ["hang", "crawl", "plank"]
