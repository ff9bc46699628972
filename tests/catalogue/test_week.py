"""Seven days ahead. Days a week: ACSM position stand 2009 (Med Sci Sports Exerc 41(3):687-708,
abstract): two to three for novices, three to four at intermediate and four to five at advanced
level."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.files import builtin_catalogue
from catalogue.conditions import Conditions
from catalogue.history import SessionDone
from catalogue.model import Level, Phase
from catalogue.today import wants_fresh
from catalogue.week import days_a_week, plan_week, training_days

PUBLISHED = {Level.BEGINNER: (2, 3), Level.INTERMEDIATE: (3, 4), Level.ADVANCED: (4, 5)}


@pytest.mark.parametrize("level", Level)
def test_days_a_week_are_within_the_published_range(make, level):
    low, high = PUBLISHED[level]
    assert low <= days_a_week(make.profile(levels={"pipe": level})) <= high


def test_the_middle_level_counts(make):
    levels = {"a": "beginner", "b": "beginner", "c": "advanced"}
    assert days_a_week(make.profile(levels=levels)) == 3
    assert days_a_week(make.profile()) == 3


@given(count=st.integers(1, 7), rest_first=st.booleans())
def test_training_days_are_spread(count, rest_first):
    days = training_days(count, rest_first=rest_first)
    assert len(set(days)) == count
    assert days == tuple(sorted(days))
    assert set(days) <= set(range(7))
    if count <= 3:
        assert all(later - day >= 2 for day, later in pairwise(days))


@pytest.mark.parametrize("count", [0, 8])
def test_impossible_weeks_are_refused(count):
    with pytest.raises(ValueError, match="do not fit a week"):
        training_days(count)


def _week(make, history=None, first_day=100, **more):
    catalogue = builtin_catalogue()
    profile = make.profile(equipment=tuple(catalogue.equipment), space=8.0, **more)
    history = history or make.history()
    return catalogue, plan_week(catalogue, profile, Conditions.of(profile), history, first_day)


def _skills(catalogue, day):
    return {
        catalogue.movements[block.movement].skill
        for block in day.plan.blocks
        if block.phase is Phase.MAIN
    }


def test_a_week_has_days_of_training_and_of_rest(make):
    _, week = _week(make)
    assert [day.day for day in week] == list(range(100, 107))
    assert [day.plan is not None for day in week] == [True, False, True, False, True, False, False]
    assert {day.reason.id for day in week if day.reason} == {"week_rest"}


def test_skills_take_turns_over_the_week(make):
    catalogue, week = _week(make)
    trained = [_skills(catalogue, day) for day in week if day.plan]
    assert trained[0] != trained[1]
    assert set.union(*trained) == set(catalogue.skills)


def test_after_a_training_day_a_beginners_week_begins_with_rest(make):
    history = make.history(make.session("line_walk", 1, 30, day=99))
    _, week = _week(make, history)
    assert week[0].plan is None
    assert week[1].plan is not None


def test_a_day_trained_on_already_is_kept_free(make):
    history = make.history(loads=(SessionDone(1, 102, 20, 5),))
    _, week = _week(make, history)
    assert week[2].plan is None
    assert week[2].reason is not None
    assert week[2].reason.id == "week_done"


def test_hanging_and_inverted_work_keep_a_day_apart(make):
    levels = dict.fromkeys(builtin_catalogue().skills, "advanced")
    catalogue, week = _week(make, levels=levels)
    fresh = [
        day.day
        for day in week
        if day.plan and any(wants_fresh(catalogue.movements[b.movement]) for b in day.plan.blocks)
    ]
    assert len(fresh) >= 2
    assert all(later - day >= 2 for day, later in pairwise(fresh))


def test_nothing_to_train_is_told_on_the_day(make):
    catalogue = make.catalogue(make.movement("hang", equipment=("bar",)))
    profile = make.profile()
    week = plan_week(catalogue, profile, Conditions.of(profile), make.history(), 1, count=1)
    assert week[0].plan is None
    assert week[0].reason is not None
    assert week[0].reason.id == "left_out_not_without"
