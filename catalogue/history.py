"""What was done, as plain data: the record's view of the past that decisions are taken from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

Side = Literal["none", "left", "right"]
Unit = Literal["seconds", "reps", "metres"]


@dataclass(frozen=True)
class SetDone:
    """One set (of one side).

    `day` is a date's proleptic ordinal, `session` a number that rises with time. `amount` is
    what was done and `target` what was asked for, both in `unit`. `came_off` counts steps off.
    `rpe` is the movement's effort, 0 to 10, where it was given. `pain` tells whether pain was
    reported during the movement. `whole` is False where the set was broken off.
    """

    day: int
    session: int
    movement: str
    side: Side = "none"
    target: int = 1
    amount: float = 0.0
    unit: Unit = "seconds"
    came_off: int = 0
    rpe: int | None = None
    pain: bool = False
    whole: bool = True


@dataclass(frozen=True)
class SessionDone:
    """One session: its length in minutes and its effort (0 to 10) as a whole, where given."""

    session: int
    day: int
    minutes: float
    rpe: int | None = None


@dataclass(frozen=True)
class History:
    """Everything done so far, oldest first.

    >>> History((SetDone(2, 2, "b"), SetDone(1, 1, "a"))).sets[0].movement
    'a'
    """

    sets: tuple[SetDone, ...] = ()
    sessions: tuple[SessionDone, ...] = ()

    def __post_init__(self) -> None:
        in_order = tuple(sorted(self.sets, key=lambda done: (done.day, done.session)))
        object.__setattr__(self, "sets", in_order)
        sessions = tuple(sorted(self.sessions, key=lambda done: (done.day, done.session)))
        object.__setattr__(self, "sessions", sessions)


def by_session(sets: Iterable[SetDone]) -> list[tuple[SetDone, ...]]:
    """Sets in groups of one session each, oldest session first."""
    groups: dict[tuple[int, int], list[SetDone]] = {}
    for done in sets:
        groups.setdefault((done.day, done.session), []).append(done)
    return [tuple(groups[key]) for key in sorted(groups)]
