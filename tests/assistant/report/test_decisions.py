"""Decisions in sentences, with rule, source and sets."""

from __future__ import annotations

import pytest

from assistant.files import builtin_catalogue
from assistant.report.decisions import decided, next_in
from assistant.report.ladder import level_map
from assistant.report.words import lines_of
from catalogue.history import History, SetDone
from catalogue.model import Level
from catalogue.step_rules import RULES
from tests.assistant.report.season import profile

CATALOGUE = builtin_catalogue()
LINES = lines_of("en")
DAY = 739_000


def held(movement: str, amount: float, target: int, *days: int) -> list[SetDone]:
    return [
        SetDone(DAY + day, day, movement, target=target, amount=amount)
        for day in days
        for _ in range(2)
    ]


def test_two_sessions_at_the_top_lead_on() -> None:
    history = History(tuple(held("line_walk", 40, 40, 1, 3)))
    found = decided(CATALOGUE, LINES, CATALOGUE.movements["line_walk"], history, DAY + 4)
    assert found.kind == "advance"
    assert found.sentence.startswith("Stork stand comes after line walk")
    assert (found.says, found.source) == RULES["top_twice"]
    assert found.sets == history.sets


def test_what_comes_next_names_the_movement_it_rests_on() -> None:
    history = History(tuple(held("line_walk", 40, 40, 1, 3)))
    ladders = level_map(CATALOGUE, profile(level=Level.BEGINNER), history, DAY + 4)
    coming = {one.skill.id: next_in(CATALOGUE, LINES, one, history, DAY + 4) for one in ladders}
    balance = coming["balance"]
    assert balance.movement.id == "stork_stand"
    assert balance.behind is not None
    assert balance.behind.movement.id == "line_walk"
    assert balance.behind.sentence == balance.sentence
    assert coming["supports"].sentence is None


def test_the_load_on_the_hands_is_told_where_it_is_known() -> None:
    plank = decided(CATALOGUE, LINES, CATALOGUE.movements["long_plank"], History(), DAY)
    assert plank.hands == "Long plank: about two thirds of your weight on your hands."
    assert plank.sets == ()
    walk = decided(CATALOGUE, LINES, CATALOGUE.movements["line_walk"], History(), DAY)
    assert walk.hands is None


@pytest.mark.parametrize("movement", list(CATALOGUE.movements))
def test_every_movement_has_a_decision(movement: str) -> None:
    found = decided(CATALOGUE, LINES, CATALOGUE.movements[movement], History(), DAY)
    assert found.sentence
    assert "{" not in found.sentence
