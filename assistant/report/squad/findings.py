"""What a coach wants to know of a squad: who is stuck, who had pain, and what blocks most people.

"Stuck" is judgement, with its numbers here: no new height in a skill (a harder movement, or more
of the same one) in `TURNS` sessions of it, the last of them within `LATELY` days.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from assistant.report.squad.reading import Squad, statements
from catalogue.step_rules import TARGET_RPE

LATELY = 56
TURNS = 4


@dataclass(frozen=True)
class Athlete:
    """One athlete: sessions ever and lately, the last day, and lately the mean effort of
    sessions, the steps off, and the sessions that pain or feeling unwell ended."""

    name: str
    sessions: int
    lately: int
    last_day: date
    effort: int | None
    came_off: int
    broken: int


@dataclass(frozen=True)
class Stuck:
    """Someone who gets no further in a skill than this movement and target, for `turns` sessions.

    `went` tells how those went, the commonest first: `pain`, `off` (steps off), `short`, `hard`
    (too much effort), `easier` (something easier was trained), `reached` (all was done: what is
    harder may be closed by the coach's level).
    """

    athlete: str
    skill: str
    movement: str
    target: int
    turns: int
    since: date
    last_day: date
    went: tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class Blocking:
    """A movement that people are stuck on, with their names."""

    movement: str
    skill: str
    athletes: tuple[str, ...]


@dataclass(frozen=True)
class Pained:
    """Pain in a part, or `unwell`: the worst level said, how often, the last day, in what."""

    athlete: str
    part: str
    worst: int | None
    times: int
    last_day: date
    movements: tuple[str, ...]


@dataclass(frozen=True)
class Findings:
    """All of it; `since` is the first day that counts as present."""

    since: date
    athletes: tuple[Athlete, ...]
    stuck: tuple[Stuck, ...]
    blocking: tuple[Blocking, ...]
    pained: tuple[Pained, ...]

    @property
    def sessions(self) -> int:
        return sum(one.sessions for one in self.athletes)


def find(squad: Squad) -> Findings:
    """Ask the squad's database everything; closes nothing."""
    base = squad.base
    given = {"turns": TURNS, "hard": TARGET_RPE}
    rows = base.execute(statements("stuck.sql"), given).fetchall()
    stuck = tuple(map(_stuck, rows))
    pained = base.execute(statements("pain.sql")).fetchall()
    athletes = base.execute(statements("athletes.sql")).fetchall()
    ((since,),) = base.execute("SELECT day FROM since").fetchall() or ((None,),)
    return Findings(
        since or date.today() - timedelta(days=LATELY),
        tuple(Athlete(*row) for row in athletes),
        stuck,
        _blocking(stuck),
        tuple(map(_pained, pained)),
    )


def _stuck(row: Sequence[Any]) -> Stuck:
    athlete, skill, movement, target, turns, since, last_day, went, times = row
    how = tuple(zip(went, times, strict=True))
    return Stuck(athlete, skill, movement, target, turns, since, last_day, how)


def _pained(row: Sequence[Any]) -> Pained:
    athlete, part, worst, times, last_day, movements = row
    return Pained(athlete, part, worst, times, last_day, tuple(movements or ()))


def _blocking(stuck: tuple[Stuck, ...]) -> tuple[Blocking, ...]:
    """Movements by the number of people stuck on them, the most first."""
    names: dict[tuple[str, str], list[str]] = {}
    for one in stuck:
        names.setdefault((one.movement, one.skill), []).append(one.athlete)
    found = [Blocking(move, skill, tuple(sorted(who))) for (move, skill), who in names.items()]
    return tuple(sorted(found, key=lambda one: (-len(one.athletes), one.movement)))
