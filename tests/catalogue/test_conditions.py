from __future__ import annotations

from dataclasses import replace

from catalogue.conditions import Conditions, feasible, missing, offerable, rung, within_level
from catalogue.model import BodyPart, Hazard, Level

ROOMY = Conditions(equipment=frozenset({"bar"}), space=9.0)


def test_nothing_stands_against_a_movement_that_fits(make):
    hang = make.movement("hang", equipment=("bar",))
    assert feasible(make.catalogue(hang), hang, ROOMY) is None


def test_pain_is_told_before_missing_equipment(make):
    hang = make.movement("hang", equipment=("bar",), loads=("shoulder",))
    hurt = Conditions(hurting=frozenset({BodyPart.SHOULDER}))
    against = feasible(make.catalogue(hang), hang, hurt)
    assert against is not None
    assert (against.id, against.values["part"]) == ("not_hurting", "shoulder")


def test_missing_equipment_is_named_as_it_is_spoken(make):
    hang = make.movement("hang", equipment=("bar",))
    against = feasible(make.catalogue(hang), hang, Conditions())
    assert against is not None
    assert against.values == {"movement": "hang", "equipment": "bar"}


def test_an_accepted_stand_in_counts_as_the_equipment(make):
    hang = make.movement("hang", equipment=("bar",))
    assert feasible(make.catalogue(hang), hang, Conditions(stand_ins=frozenset({"bar"}))) is None


def test_space_is_rounded_up_to_whole_metres(make):
    crawl = make.movement("crawl", space=3.5)
    against = feasible(make.catalogue(crawl), crawl, Conditions(space=3.4))
    assert against is not None
    assert against.values["metres"] == 4


def test_a_hazard_left_alone_today_stands_against_it(make):
    flip = make.movement("flip", hazards=("inverted",))
    against = feasible(make.catalogue(flip), flip, replace(ROOMY, avoid={Hazard.INVERTED}))
    assert against is not None
    assert against.id == "not_hazard"


def test_the_level_bounds_what_is_offered_and_not_what_can_be_done(make):
    hard = make.movement("hard", 6)
    beginner = replace(ROOMY, ceiling=Level.BEGINNER)
    assert feasible(make.catalogue(hard), hard, beginner) is None
    assert not offerable(hard, beginner)
    assert within_level(hard, replace(beginner, levels={"grip": Level.ADVANCED}))


def test_a_skill_without_a_level_in_the_profile_is_a_beginners(make):
    day = Conditions.of(make.profile(levels={"grip": "intermediate"}, equipment=("bar",)))
    assert day.ceiling_for("grip") is Level.INTERMEDIATE
    assert day.ceiling_for("climb") is Level.BEGINNER
    assert day.equipment == {"bar"}


def test_what_is_gone_takes_its_stand_in_with_it():
    day = Conditions(equipment=frozenset({"bar", "mat"}), stand_ins=frozenset({"box"}))
    assert day.without("bar", "box") == Conditions(equipment=frozenset({"mat"}))


def test_the_ladder_has_nine_rungs(make):
    assert [rung(make.movement("m", n)) for n in range(9)] == list(range(9))


def test_missing_keeps_the_movements_order(make):
    rig = make.movement("rig", equipment=("rope", "bar", "mat"))
    assert missing(rig, ROOMY) == ("rope", "mat")
