"""One movement over time: what was done and asked for, beside the range that the coach wrote."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from statistics import fmean
from typing import Literal

from assistant.report.spans import Grain, begin_of, grain_for
from catalogue.dosing import for_one_side, range_of
from catalogue.history import History, SetDone, by_session
from catalogue.model import Movement, Phase, Sides

Outcome = Literal["reached", "short", "off", "pain"]


@dataclass(frozen=True)
class Point:
    """The sessions of one stretch of time, `first` to `last` day (ordinals).

    `low`, `mean` and `high` are of the amounts of single sets of one side; `target` is what was
    asked for last. `outcome` is the worst thing of a single session; of several, what held in
    most of them.
    """

    first: int
    last: int
    sessions: int
    sets: int
    low: float
    mean: float
    high: float
    target: int
    came_off: int
    effort: int | None
    outcome: Outcome


@dataclass(frozen=True)
class Track:
    """A movement's points, oldest first, each one `grain` long.

    `band` is the coach's range for one set (of one side, where there are sides).
    """

    movement: Movement
    unit: str
    band: tuple[int, int]
    grain: Grain
    points: tuple[Point, ...]

    @property
    def each_side(self) -> bool:
        return self.movement.sides is not Sides.NONE

    @property
    def sessions(self) -> int:
        return sum(point.sessions for point in self.points)

    @property
    def came_off(self) -> int:
        return sum(point.came_off for point in self.points)

    @property
    def last_day(self) -> int:
        return self.points[-1].last


def tracks(movements: Mapping[str, Movement], history: History) -> list[Track]:
    """A track for each main movement that was ever trained, the one trained last first."""
    own: dict[str, list[SetDone]] = {}
    for done in history.sets:
        movement = movements.get(done.movement)
        if movement is not None and movement.phase is Phase.MAIN:
            own.setdefault(done.movement, []).append(done)
    found = [track(movements[id], sets) for id, sets in own.items()]
    return sorted(found, key=lambda one: (-one.last_day, one.movement.id))


def track(movement: Movement, sets: Iterable[SetDone]) -> Track:
    """The track of one movement from its sets, of which there is at least one."""
    sessions = by_session(sets)
    grain = grain_for(session[0].day for session in sessions)
    groups: dict[int, list[tuple[SetDone, ...]]] = {}
    for number, session in enumerate(sessions):
        key = number if grain == "session" else begin_of(session[0].day, grain)
        groups.setdefault(key, []).append(session)
    span = range_of(movement.dosage)
    band = for_one_side(movement, span.low), for_one_side(movement, span.high)
    points = tuple(_point(group) for group in groups.values())
    return Track(movement, sessions[-1][-1].unit, band, grain, points)


def outcome(session: Iterable[SetDone]) -> Outcome:
    """How a movement went in one session: pain before steps off, steps off before falling short."""
    sets = list(session)
    if any(done.pain for done in sets):
        return "pain"
    if any(done.came_off for done in sets):
        return "off"
    short = any(done.amount < done.target or not done.whole for done in sets)
    return "short" if short else "reached"


def _point(sessions: list[tuple[SetDone, ...]]) -> Point:
    sets = [done for session in sessions for done in session]
    amounts = [done.amount for done in sets]
    efforts = [done.rpe for done in sets if done.rpe is not None]
    outcomes = [outcome(session) for session in sessions]
    return Point(
        first=sets[0].day,
        last=sets[-1].day,
        sessions=len(sessions),
        sets=len(sets),
        low=min(amounts),
        mean=fmean(amounts),
        high=max(amounts),
        target=sets[-1].target,
        came_off=sum(done.came_off for done in sets),
        effort=round(fmean(efforts)) if efforts else None,
        # Of outcomes in equal number the last one counts: it is where things stand.
        outcome=max(reversed(outcomes), key=outcomes.count),
    )
