"""The level map: where an athlete stands on the nine steps of every skill."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Literal

from catalogue.conditions import LEVELS, STEPS_PER_LEVEL, level_index, rung
from catalogue.history import History
from catalogue.model import Catalogue, Level, Movement, Profile, Skill
from catalogue.standing import Standing, ladders, level_of, standings
from catalogue.step_rules import LEVELS_AHEAD

Place = Literal["here", "passed", "tried", "open", "closed"]
"""`here`: comes next. `passed`: trained, and left behind. `tried`: trained, but not below `here`.
`open`: not trained, within what the log may lead to. `closed`: above that, for the coach to open.
"""


@dataclass(frozen=True)
class Cell:
    """One step of a skill: the movements on it, with what became of them and their sessions."""

    movements: tuple[tuple[Movement, Place, int], ...]


@dataclass(frozen=True)
class Ladder:
    """One skill: nine cells, easiest first, three for each level, and where the athlete stands.

    `level` is the one that the coach set.
    """

    skill: Skill
    level: Level
    standing: Standing
    cells: tuple[Cell, ...]


def level_map(catalogue: Catalogue, profile: Profile, history: History, today: int) -> list[Ladder]:
    """The ladders of all skills that have movements, in the catalogue's order."""
    sessions = Counter(name for name, _ in {(done.movement, done.session) for done in history.sets})
    stands = standings(catalogue, profile, history, today)
    rungs = ladders(catalogue)
    found = []
    for skill, stand in stands.items():
        level = level_of(profile, skill)
        at = rung(catalogue.movements[stand.movement_id])
        reach = min(level_index(level) + LEVELS_AHEAD + 1, len(LEVELS)) * STEPS_PER_LEVEL
        cells: list[list[tuple[Movement, Place, int]]] = [[] for _ in LEVELS * STEPS_PER_LEVEL]
        for movement in rungs[skill]:
            done = sessions[movement.id]
            step = rung(movement)
            place: Place
            if movement.id == stand.movement_id:
                place = "here"
            elif done:
                place = "passed" if step < at else "tried"
            else:
                place = "open" if step < reach else "closed"
            cells[step].append((movement, place, done))
        whole = tuple(Cell(tuple(cell)) for cell in cells)
        found.append(Ladder(catalogue.skills[skill], level, stand, whole))
    return found
