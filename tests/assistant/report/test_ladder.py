"""The level map."""

from __future__ import annotations

from assistant.files import builtin_catalogue
from assistant.report.ladder import level_map
from catalogue.history import History, SetDone
from catalogue.model import Level
from tests.assistant.report.season import profile

CATALOGUE = builtin_catalogue()
DAY = 739_000


def places(history: History, level: Level, skill: str = "balance") -> dict[str, tuple[str, int]]:
    found = level_map(CATALOGUE, profile(level=level), history, DAY + 3)
    ladder = next(one for one in found if one.skill.id == skill)
    assert len(ladder.cells) == 9
    return {m.id: (place, done) for cell in ladder.cells for m, place, done in cell.movements}


def test_a_beginner_begins_at_the_bottom_and_the_top_is_closed() -> None:
    found = places(History(), Level.BEGINNER)
    assert len(found) == 9
    assert [place for place, _ in found.values()] == ["here"] + ["open"] * 5 + ["closed"] * 3


def test_what_was_trained_is_told_apart() -> None:
    done = [
        SetDone(DAY + n, n, "line_walk", target=40, amount=40) for n in (1, 2) for _ in range(2)
    ]
    done.append(SetDone(DAY + 2, 2, "fingertip_pipe", target=30, amount=5))
    found = places(History(tuple(done)), Level.BEGINNER)
    assert found["line_walk"] == ("passed", 2)
    assert found["stork_stand"] == ("here", 0)
    assert found["fingertip_pipe"] == ("tried", 1)
    assert found["parked_pipe"] == ("open", 0)


def test_every_skill_and_every_movement_has_its_place() -> None:
    found = level_map(CATALOGUE, profile(), History(), DAY)
    assert [one.skill.id for one in found] == list(CATALOGUE.skills)
    names = [m.id for one in found for cell in one.cells for m, _, _ in cell.movements]
    main = [m.id for m in CATALOGUE.movements.values() if m.skill]
    assert sorted(names) == sorted(main)
    for one in found:
        marks = [place for cell in one.cells for _, place, _ in cell.movements]
        assert marks.count("here") == 1
