"""What the record says was done: facts as they stand once every correction has been applied.

>>> from assistant.session.facts import CorrectionUndone, SetCorrected, SetLogged
>>> logged = SetLogged(1, "plank", 1, "none", target=40, source="timer", seconds=35.5)
>>> [row.amount for row in sets([logged, SetCorrected(1, seconds=38)])]
[38.0]
>>> [row.amount for row in sets([logged, SetCorrected(1, seconds=38), CorrectionUndone(1)])]
[35.5]
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Protocol

from pydantic import Field

from assistant.record.days import in_order
from assistant.record.store import Store
from assistant.session.facts import (
    CorrectionUndone,
    EffortLogged,
    Fact,
    PainReported,
    SetCorrected,
    SetLogged,
    SetUndone,
    Side,
    Source,
)
from catalogue.history import History, SessionDone, SetDone, Unit
from catalogue.model import Frozen


class SetRow(Frozen):
    """One set (of one side) as it counts."""

    set_id: int = Field(description="number of the set in its session")
    movement: str = Field(description="id of the movement")
    number: int = Field(description="number of the set in its movement")
    side: Side = Field(description="none, left or right")
    amount: float = Field(description="what was done, in the unit")
    target: int = Field(description="what was asked for, in the unit")
    unit: Unit = Field(description="seconds, reps or metres")
    source: Source = Field(description="where the amount comes from: timer, said or target")
    came_off: int = Field(description="steps off")
    whole: bool = Field(description="false where the set was broken off")
    effort: int | None = Field(description="effort of the movement, RPE 0 to 10")
    pain: bool = Field(description="true where pain was reported in the movement")
    logged: float = Field(description="the amount before any correction")


def sets(facts: Iterable[Fact]) -> list[SetRow]:
    """The sets of one session in order, without those undone.

    The last correction counts. One that was undone gives way to what was before it; one in
    another unit than the set's own says nothing about its target and changes nothing. An effort
    belongs to the sets of its movement since the effort before; said again with no set between,
    it takes the place of the one before.
    """
    drafts: dict[int, _Draft] = {}
    waiting: dict[str, list[_Draft]] = {}
    rated: dict[str, list[_Draft]] = {}
    painful: set[str | None] = set()
    for fact in facts:
        match fact:
            case SetLogged():
                draft = _Draft(fact)
                drafts[fact.set_id] = draft
                waiting.setdefault(fact.movement, []).append(draft)
            case SetCorrected() if fact.set_id in drafts:
                drafts[fact.set_id].corrections.append(fact)
            case CorrectionUndone() if fact.set_id in drafts and drafts[fact.set_id].corrections:
                drafts[fact.set_id].corrections.pop()
            case SetUndone():
                if undone := drafts.get(fact.set_id):
                    undone.counts = False
            case EffortLogged(movement=str(movement)):
                if new := waiting.pop(movement, []):
                    rated[movement] = new
                for draft in rated.get(movement, []):
                    draft.effort = fact.rpe
            case PainReported():
                painful.add(fact.movement)
    return [
        draft.row(pain=draft.logged.movement in painful)
        for draft in drafts.values()
        if draft.counts
    ]


def session_effort(facts: Iterable[Fact]) -> int | None:
    """The effort of the session as a whole (RPE 0 to 10), as said last."""
    said = [fact.rpe for fact in facts if isinstance(fact, EffortLogged) and not fact.movement]
    return said[-1] if said else None


def history(store: Store, athlete: str | None = None) -> History:
    """Everything on record (of one athlete, where one is named), ready to decide from.

    Order is the record's. Where a clock was wrong, its session is given the day of a neighbour.
    """
    infos = [info for info in store.sessions() if athlete is None or info.header.athlete == athlete]
    days = in_order([info.header.started().date().toordinal() for info in infos])
    done: list[SetDone] = []
    whole: list[SessionDone] = []
    for info, day in zip(infos, days, strict=True):
        if athlete not in (None, info.header.athlete):
            continue
        facts = store.facts(info.id)
        done += sets_done(facts, info.id, day)
        minutes = store.length(info.id) / 60
        whole.append(SessionDone(info.id, day, minutes, session_effort(facts)))
    return History(tuple(done), tuple(whole))


def sets_done(facts: Iterable[Fact], session: int, day: int) -> list[SetDone]:
    """The sets of one session as decisions are taken from them; `day` is a date's ordinal."""
    return [_done(row, session, day) for row in sets(facts)]


class _Amounts(Protocol):
    """What a set and a correction have in common: exactly one of three amounts."""

    @property
    def seconds(self) -> float | None: ...
    @property
    def reps(self) -> int | None: ...
    @property
    def metres(self) -> int | None: ...


def _amount(fact: _Amounts) -> tuple[Unit, float]:
    if fact.reps is not None:
        return "reps", float(fact.reps)
    if fact.metres is not None:
        return "metres", float(fact.metres)
    return "seconds", float(fact.seconds or 0)


@dataclass
class _Draft:
    logged: SetLogged
    corrections: list[SetCorrected] = field(default_factory=list)
    effort: int | None = None
    counts: bool = True

    def row(self, *, pain: bool) -> SetRow:
        unit, first = _amount(self.logged)
        said = [amount for other, amount in map(_amount, self.corrections) if other == unit]
        return SetRow(
            set_id=self.logged.set_id,
            movement=self.logged.movement,
            number=self.logged.number,
            side=self.logged.side,
            amount=said[-1] if said else first,
            target=self.logged.target,
            unit=unit,
            source="said" if said else self.logged.source,
            came_off=self.logged.came_off,
            whole=self.logged.whole,
            effort=self.effort,
            pain=pain,
            logged=first,
        )


def _done(row: SetRow, session: int, day: int) -> SetDone:
    return SetDone(
        day=day,
        session=session,
        movement=row.movement,
        side=row.side,
        target=row.target,
        amount=row.amount,
        unit=row.unit,
        came_off=row.came_off,
        rpe=row.effort,
        pain=row.pain,
        whole=row.whole,
    )
