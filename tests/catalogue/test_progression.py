"""The rules of progression on made-up logs.

"Two for two" is checked as several secondary sources quote Baechle and Earle, Essentials of
Strength Training and Conditioning: two or more repetitions over the goal in the last set of two
workouts in a row. All other rules are common practice, no published source.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.dosing import amount_of, range_of, target_for
from catalogue.model import Sides
from catalogue.progression import asked_for, decide_next, why
from catalogue.reason_slots import SLOTS
from catalogue.step_rules import COMMON_PRACTICE, RULES


@pytest.fixture
def world(make):
    return make.catalogue(
        make.movement("low", 0, up="mid"),
        make.movement("mid", 1, down="low", up="top"),
        make.movement("top", 2, down="mid", kind="reps", span=(3, 5)),
        make.movement("both", 0, skill="pipe", sides="each"),
        make.movement("shared", 0, skill="crawl", sides="shared"),
    )


def _kind_and_aim(step):
    return step.kind, step.movement_id, amount_of(step.target)


class TestHolds:
    def test_nothing_logged_begins_at_the_bottom(self, world, make):
        step = decide_next(world, "mid", None, make.history())
        assert _kind_and_aim(step) == ("hold", "mid", 30)
        assert step.rule == "first"

    def test_every_set_reached_asks_for_five_seconds_more(self, world, make):
        step = why(world, "mid", make.history(make.session("mid", 1, 30, 30)))
        assert _kind_and_aim(step) == ("more", "mid", 35)

    def test_much_more_than_asked_moves_the_target_to_what_every_set_had(self, world, make):
        step = why(world, "mid", make.history(make.session("mid", 1, 44, 41)))
        assert _kind_and_aim(step) == ("more", "mid", 41)

    def test_the_target_stops_at_the_top_of_the_range(self, world, make):
        step = why(world, "mid", make.history(make.session("mid", 1, 44, 44, target=42)))
        assert _kind_and_aim(step) == ("more", "mid", 45)

    def test_the_top_once_has_to_be_reached_again(self, world, make):
        step = why(world, "mid", make.history(make.session("mid", 1, 45, 46, target=45)))
        assert (_kind_and_aim(step), step.rule) == (("hold", "mid", 45), "hold_again")

    def test_the_top_in_all_sets_of_two_sessions_advances(self, world, make):
        history = make.history(
            make.session("mid", 1, 45, 46, target=45), make.session("mid", 2, 45, 45, target=45)
        )
        step = why(world, "mid", history)
        assert _kind_and_aim(step) == ("advance", "top", 3)
        assert step.sets == history.sets
        assert step.reason.values["next_movement"] == "top"

    @pytest.mark.parametrize(
        ("flaw", "rule"),
        [
            ({"came_off": 1}, "hold_came_off"),
            ({"rpe": 8}, "hold_hard"),
            ({"whole": False}, "hold_short"),
        ],
    )
    def test_a_flaw_in_the_second_session_holds(self, world, make, flaw, rule):
        history = make.history(
            make.session("mid", 1, 45, 45, target=45),
            make.session("mid", 2, 45, 45, target=45, **flaw),
        )
        step = why(world, "mid", history)
        assert (_kind_and_aim(step), step.rule) == (("hold", "mid", 45), rule)

    def test_effort_at_the_limit_does_not_stand_in_the_way(self, world, make):
        sessions = [make.session("mid", n, 45, 45, target=45, rpe=7) for n in (1, 2)]
        assert why(world, "mid", make.history(*sessions)).kind == "advance"

    def test_one_short_set_of_three_is_no_miss_but_holds(self, world, make):
        sessions = [make.session("mid", n, 40, 40, 20, target=40) for n in (1, 2)]
        step = why(world, "mid", make.history(*sessions))
        assert (_kind_and_aim(step), step.rule) == (("hold", "mid", 40), "hold_short")

    def test_one_missed_session_holds(self, world, make):
        step = why(world, "mid", make.history(make.session("mid", 1, 20, 15, target=40)))
        assert _kind_and_aim(step) == ("hold", "mid", 40)

    def test_two_missed_sessions_go_to_the_bottom_of_the_range(self, world, make):
        sessions = [make.session("mid", n, 20, 15, target=40) for n in (1, 2)]
        step = why(world, "mid", make.history(*sessions))
        assert (_kind_and_aim(step), step.rule) == (("less", "mid", 30), "misses")

    def test_two_missed_sessions_at_the_bottom_step_back(self, world, make):
        sessions = [make.session("mid", n, 20, 15) for n in (1, 2)]
        assert _kind_and_aim(why(world, "mid", make.history(*sessions))) == ("step_back", "low", 30)

    def test_a_miss_at_a_harder_target_does_not_count_against_an_easier_one(self, world, make):
        history = make.history(
            make.session("mid", 1, 20, target=40), make.session("mid", 2, 20, target=30)
        )
        assert _kind_and_aim(why(world, "mid", history)) == ("hold", "mid", 30)

    def test_pain_steps_back_at_once(self, world, make):
        history = make.history(
            make.session("mid", 1, 45, target=45),
            make.session("mid", 2, 45, target=45, pain=True),
        )
        step = why(world, "mid", history)
        assert (_kind_and_aim(step), step.rule) == (("step_back", "low", 30), "pain")

    def test_pain_with_nothing_easier_asks_for_less(self, world, make):
        step = why(world, "low", make.history(make.session("low", 1, 40, target=40, pain=True)))
        assert _kind_and_aim(step) == ("less", "low", 30)
        assert step.reason.id == "step_pain_end"

    def test_three_weeks_away_begin_at_the_bottom(self, world, make):
        history = make.history(make.session("mid", 100, 40, target=40))
        assert _kind_and_aim(why(world, "mid", history, today=120)) == ("more", "mid", 45)
        step = why(world, "mid", history, today=121)
        assert (_kind_and_aim(step), step.rule) == (("less", "mid", 30), "away")

    def test_the_end_of_the_ladder_holds_the_top(self, world, make):
        sessions = [make.session("both", n, 45, target=45, sides=("left", "right")) for n in (1, 2)]
        step = why(world, "both", make.history(*sessions))
        assert _kind_and_aim(step) == ("hold", "both", 45)
        assert step.reason.id == "step_top_twice_end"

    def test_a_given_target_counts_before_the_logged_one(self, world, make):
        asked = target_for(world.movements["mid"], 40)
        history = make.history(make.session("mid", 1, 36, target=30))
        assert decide_next(world, "mid", asked, history).kind == "hold"

    def test_other_movements_do_not_count(self, world, make):
        history = make.history(make.session("low", 1, 45), make.session("top", 2, 1, target=3))
        assert why(world, "mid", history).rule == "first"


class TestRepetitions:
    def test_one_more_once_every_set_is_there(self, world, make):
        history = make.history(make.session("top", 1, 3, 3, target=3, unit="reps"))
        assert _kind_and_aim(why(world, "top", history)) == ("more", "top", 4)

    def test_two_for_two_asks_for_two_more(self, world, make):
        sessions = [make.session("top", n, 3, 5, target=3, unit="reps") for n in (1, 2)]
        step = why(world, "top", make.history(*sessions))
        assert (_kind_and_aim(step), step.rule) == (("more", "top", 5), "two_for_two")

    def test_two_for_two_needs_the_last_set(self, world, make):
        sessions = [make.session("top", n, 5, 4, target=3, unit="reps") for n in (1, 2)]
        assert why(world, "top", make.history(*sessions)).rule == "more"

    def test_two_for_two_needs_both_sessions(self, world, make):
        history = make.history(
            make.session("top", 1, 3, 4, target=3, unit="reps"),
            make.session("top", 2, 3, 5, target=3, unit="reps"),
        )
        assert why(world, "top", history).rule == "more"

    def test_two_for_two_past_the_range_advances(self, make):
        catalogue = make.catalogue(
            make.movement("turns", 0, kind="reps", span=(5, 6), up="more_turns"),
            make.movement("more_turns", 1, kind="reps", span=(5, 6)),
        )
        sessions = [make.session("turns", n, 5, 7, target=5, unit="reps") for n in (1, 2)]
        step = why(catalogue, "turns", make.history(*sessions))
        assert (step.kind, step.movement_id, step.rule) == (
            "advance",
            "more_turns",
            "two_for_two",
        )

    def test_seconds_know_no_two_for_two(self, world, make):
        sessions = [make.session("mid", n, 30, 33) for n in (1, 2)]
        assert why(world, "mid", make.history(*sessions)).rule == "more"


class TestSides:
    def test_one_side_alone_does_not_move_up(self, world, make):
        history = make.history(make.session("both", 1, 35, 35, sides=("left",)))
        step = why(world, "both", history)
        assert (step.kind, step.rule) == ("hold", "hold_one_side")

    def test_the_weaker_side_decides(self, world, make):
        left = make.session("both", 1, 45, target=40, sides=("left",))
        right = make.session("both", 1, 30, target=40, sides=("right",))
        assert why(world, "both", make.history(left, right)).kind == "hold"

    def test_shared_sides_are_judged_by_their_halves(self, world, make):
        """Half of 30 is logged on each side; what comes next is told of the whole."""
        history = make.history(make.session("shared", 1, 15, target=15, sides=("left", "right")))
        assert _kind_and_aim(why(world, "shared", history)) == ("more", "shared", 35)

    def test_the_top_of_an_odd_range_is_reached_in_halves(self, world, make):
        sessions = [
            make.session("shared", n, 22, target=22, sides=("left", "right")) for n in (1, 2)
        ]
        one, two = make.history(sessions[0]), make.history(*sessions)
        assert why(world, "shared", one).rule == "hold_again"
        assert why(world, "shared", two).rule == "top_twice"

    @pytest.mark.parametrize("whole", [30, 35, 40, 45])
    def test_the_whole_is_found_again_from_its_half(self, world, whole):
        shared = world.movements["shared"]
        assert asked_for(shared, max(1, round(whole / 2))) == whole


def test_a_jump_in_the_load_on_the_hands_is_noted(make):
    catalogue = make.catalogue(
        make.movement("hands_high", 0, up="flat", support={"hands": 0.6}),
        make.movement("flat", 1, up="feet_low", support={}),
        make.movement("feet_low", 2, support={"feet": 0.1}),
    )
    up = [
        why(
            catalogue,
            start,
            make.history(*(make.session(start, n, 45, target=45) for n in (1, 2))),
        )
        for start in ("hands_high", "flat")
    ]
    assert up[0].note is not None
    assert 40 <= int(up[0].note.values["percent"]) <= 55
    assert up[1].note is None


def test_every_rule_names_a_source():
    for rule, (says, source) in RULES.items():
        assert len(says) > 10, rule
        assert COMMON_PRACTICE in source or "Baechle" in source, rule


@given(data=st.data())
def test_whatever_was_logged_the_step_is_sound(make, data):
    """The target fits its movement, the movement is here or one link away, the reason is known."""
    sides = data.draw(st.sampled_from(Sides))
    kind = data.draw(st.sampled_from(["hold", "work", "reps", "distance"]))
    catalogue = make.catalogue(
        make.movement("low", 0, up="mid"),
        make.movement("mid", 1, down="low", up="top", kind=kind, span=(5, 12), sides=sides),
        make.movement("top", 2, down="mid"),
    )
    unit = {"reps": "reps", "distance": "metres"}.get(kind, "seconds")
    names = ("none",) if sides is Sides.NONE else ("left", "right")
    sessions = [
        make.session(
            "mid",
            number,
            *data.draw(st.lists(st.integers(0, 20), min_size=1, max_size=3)),
            target=data.draw(st.integers(1, 14)),
            sides=names,
            unit=unit,
            came_off=data.draw(st.integers(0, 1)),
            rpe=data.draw(st.none() | st.integers(5, 9)),
            pain=data.draw(st.booleans()),
        )
        for number in range(1, data.draw(st.integers(1, 4)) + 1)
    ]
    today = data.draw(st.none() | st.integers(5, 60))
    step = why(catalogue, "mid", make.history(*sessions), today)
    assert step.movement_id in {"low", "mid", "top"}
    assert {"advance": "top", "step_back": "low"}.get(step.kind, "mid") == step.movement_id
    span = range_of(catalogue.movements[step.movement_id].dosage)
    assert span.low <= amount_of(step.target) <= span.high
    assert step.rule in RULES
    assert set(step.reason.values) == set(SLOTS[step.reason.id])
    assert len({done.session for done in step.sets}) <= 2
