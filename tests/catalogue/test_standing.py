from __future__ import annotations

import pytest

from catalogue.conditions import Conditions
from catalogue.dosing import amount_of
from catalogue.model import Level
from catalogue.standing import conditions_for, earned, entry, ladders, standing, standings


@pytest.fixture
def world(make):
    return make.catalogue(
        *(
            make.movement(
                f"m{n}", n, down=f"m{n - 1}" if n else None, up=f"m{n + 1}" if n < 8 else None
            )
            for n in range(9)
        )
    )


def _stands(world, *sessions, level=Level.BEGINNER, today=None):
    sets = [done for session in sessions for done in session]
    return standing(world, ladders(world)["grip"], level, sets, today)


def _mastered(make, movement, first):
    """Two sessions at the top of the range."""
    return [make.session(movement, n, 45, 45, target=45) for n in (first, first + 1)]


def test_the_start_is_the_first_step_of_the_level(world):
    assert _stands(world).movement_id == "m0"
    assert _stands(world, level=Level.INTERMEDIATE).movement_id == "m3"


def test_without_the_level_the_hardest_below_it(make):
    catalogue = make.catalogue(make.movement("a", 0), make.movement("b", 1))
    assert entry(ladders(catalogue)["grip"], Level.ADVANCED).id == "b"
    only_hard = make.catalogue(make.movement("z", 8))
    assert entry(ladders(only_hard)["grip"], Level.BEGINNER).id == "z"


def test_mastery_leads_to_the_next_movement_at_the_bottom(world, make):
    found = _stands(world, *_mastered(make, "m0", 1))
    assert (found.movement_id, amount_of(found.target)) == ("m1", 30)
    assert found.reason is not None
    assert found.reason.id == "step_top_twice_up"
    assert found.last_day == 2


def test_something_easier_for_a_day_takes_no_place_away(world, make):
    found = _stands(world, *_mastered(make, "m0", 1), make.session("m0", 3, 20))
    assert found.movement_id == "m1"
    assert found.last_day == 3


def test_something_harder_gives_the_place_after_two_good_sessions(world, make):
    once = make.session("m2", 1, 30)
    assert _stands(world, once).movement_id == "m0"
    found = _stands(world, once, make.session("m2", 2, 30))
    assert found.movement_id == "m2"


def test_a_movement_come_back_to_is_judged_by_what_follows(world, make):
    """Stepped back to a movement once mastered: the old mastery does not count."""
    sessions = [
        *_mastered(make, "m0", 1),
        make.session("m1", 3, 10, pain=True),
        make.session("m0", 4, 45, 45, target=45),
    ]
    assert _stands(world, *sessions[:3]).movement_id == "m0"
    found = _stands(world, *sessions)
    assert (found.movement_id, amount_of(found.target)) == ("m0", 45)
    assert found.reason is not None
    assert found.reason.id == "step_hold_again"


def test_the_log_leads_one_level_up_and_no_further(world, make):
    sessions = [session for n in range(6) for session in _mastered(make, f"m{n}", 2 * n + 1)]
    assert _stands(world, *sessions).movement_id == "m5"
    assert _stands(world, *sessions, level=Level.INTERMEDIATE).movement_id == "m6"


def test_a_long_break_is_seen_from_today(world, make):
    session = make.session("m0", 100, 40, target=40)
    assert amount_of(_stands(world, session, today=105).target) == 45
    assert amount_of(_stands(world, session, today=130).target) == 30


def test_standings_pass_over_what_left_the_catalogue(world, make):
    history = make.history(make.session("gone", 1, 30))
    assert standings(world, make.profile(), history)["grip"].movement_id == "m0"


def test_earned_levels_count_as_the_athletes_own(world, make):
    history = make.history(
        *(session for n in range(3) for session in _mastered(make, f"m{n}", 2 * n + 1))
    )
    day = conditions_for(world, make.profile(), history)
    assert day.ceiling_for("grip") is Level.INTERMEDIATE
    assert day.ceiling_for("other") is Level.BEGINNER


def test_earning_never_lowers_a_level(world, make):
    day = Conditions(ceiling=Level.ADVANCED)
    stands = standings(world, make.profile(), make.history()).values()
    assert earned(world, day, stands).ceiling_for("grip") is Level.ADVANCED
