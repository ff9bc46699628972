"""Left and right."""

from __future__ import annotations

from assistant.files import builtin_catalogue
from assistant.report.balance import pairs
from catalogue.history import History, SetDone

CATALOGUE = builtin_catalogue()
DAY = 739_000


def both(movement: str, left: float, right: float, first: int = 0) -> list[SetDone]:
    return [
        SetDone(DAY + first + n, first + n, movement, side, target=30, amount=amount)
        for n in (1, 2)
        for side, amount in (("left", left), ("right", right))
    ]


def test_the_most_uneven_comes_first() -> None:
    sets = [*both("stork_stand", 30, 30), *both("pivot_turn", 6, 4), *both("line_walk", 9, 1)]
    found = pairs(CATALOGUE, History(tuple(sets)), DAY)
    assert [pair.movement.id for pair in found] == ["pivot_turn", "stork_stand"]
    assert [pair.sides.index for pair in found] == [67, 100]
    assert found[0].sides.weaker == "right"


def test_what_was_left_off_long_ago_is_left_out() -> None:
    sets = [*both("stork_stand", 30, 30), *both("pivot_turn", 6, 4, 100)]
    found = pairs(CATALOGUE, History(tuple(sets)), DAY + 50)
    assert [pair.movement.id for pair in found] == ["pivot_turn"]


def test_one_session_says_nothing() -> None:
    assert pairs(CATALOGUE, History(tuple(both("stork_stand", 30, 20)[:2])), DAY) == []
