"""The check-in. Bands of pain: 0 to 2 go on, 3 to 5 spare the part, above 5 rest, the stricter of
two published bands (read in secondary sources). Energy and sleep: common practice, no published
source."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.conditions import Conditions
from catalogue.model import BodyPart, Hazard
from catalogue.readiness import READINESS_RULES, Changes, Readiness, changes
from catalogue.reason_slots import SLOTS

PAIN = st.dictionaries(st.sampled_from(BodyPart), st.integers(0, 10), max_size=4)


def test_a_good_day_changes_nothing():
    assert changes(Readiness()) == Changes()
    assert changes(Readiness(pain={BodyPart.KNEE: 0}, energy="high", sleep=8)) == Changes()


@pytest.mark.parametrize(
    ("level", "spared", "rest", "reason"),
    [
        (1, False, False, "day_pain_watched"),
        (2, False, False, "day_pain_watched"),
        (3, True, False, "day_pain_spared"),
        (5, True, False, "day_pain_spared"),
        (6, True, True, "day_pain_rest"),
        (10, True, True, "day_pain_rest"),
    ],
)
def test_the_bands_of_pain(level, spared, rest, reason):
    day = changes(Readiness(pain={BodyPart.WRIST: level}))
    assert (BodyPart.WRIST in day.hurting, day.rest) == (spared, rest)
    assert [said.id for said in day.reasons] == [reason]
    assert day.reasons[0].values == {"part": "wrist", "level": level}


def test_the_worst_pain_is_told_first():
    day = changes(Readiness(pain={BodyPart.KNEE: 1, BodyPart.WRIST: 4}))
    assert [said.values["part"] for said in day.reasons] == ["wrist", "knee"]


@pytest.mark.parametrize("readiness", [Readiness(energy="low"), Readiness(sleep=5.5)])
def test_a_low_day_is_shorter_and_easier(readiness):
    day = changes(readiness)
    assert (day.fewer_sets, day.stay, day.share) == (1, True, 0.75)
    assert not day.avoid
    assert not day.rest


def test_six_hours_of_sleep_are_enough():
    assert changes(Readiness(sleep=6.0)) == Changes()


def test_tired_and_short_of_sleep_leaves_jumps_and_handstands_alone():
    day = changes(Readiness(energy="low", sleep=4.0))
    assert day.avoid == {Hazard.INVERTED, Hazard.LANDING}
    assert day.applied(Conditions()).avoid == day.avoid


def test_what_hurts_is_added_to_what_hurt_before():
    before = Conditions(hurting=frozenset({BodyPart.NECK}))
    day = changes(Readiness(pain={BodyPart.WRIST: 3}))
    assert day.applied(before).hurting == {BodyPart.NECK, BodyPart.WRIST}


def test_pain_out_of_range_is_refused():
    with pytest.raises(ValueError, match="pain in the wrist"):
        Readiness(pain={BodyPart.WRIST: 11})


def test_every_rule_names_where_it_comes_from():
    for rule, (says, source) in READINESS_RULES.items():
        assert says
        assert source
        assert f"day_{rule}" in SLOTS


@given(
    pain=PAIN, energy=st.sampled_from(["low", "normal", "high"]), sleep=st.none() | st.floats(0, 12)
)
def test_more_pain_never_allows_more(pain, energy, sleep):
    day = changes(Readiness(pain, energy, sleep))
    worse = changes(
        Readiness({part: min(10, level + 1) for part, level in pain.items()}, energy, sleep)
    )
    assert day.hurting <= worse.hurting
    assert day.rest <= worse.rest
