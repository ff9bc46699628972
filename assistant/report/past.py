"""Everything on record that a report tells of one athlete, read in one pass."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from assistant.record.days import in_order
from assistant.record.history import session_effort, sets_done
from assistant.record.store import SessionInfo, Store
from assistant.session.facts import CheckedIn, PainReported, Swapped, UnwellReported
from catalogue.history import History, SessionDone, SetDone


@dataclass(frozen=True)
class Trouble:
    """Pain or feeling unwell. `when` tells whether it was said before or during the training.

    `level` is 0 to 10 where it was said (the worst of several parts); the rest are ids.
    """

    day: int
    kind: Literal["pain", "unwell"]
    when: Literal["before", "during"]
    parts: tuple[str, ...] = ()
    level: int | None = None
    movement: str | None = None


@dataclass(frozen=True)
class Change:
    """Another movement (or none) in a movement's place, and what led to it: ids."""

    day: int
    before: str
    after: str | None
    cause: str


@dataclass(frozen=True)
class Past:
    """The history that decisions rest on, and what happened beside the sets; oldest first."""

    history: History
    troubles: tuple[Trouble, ...] = ()
    changes: tuple[Change, ...] = ()


def read_past(store: Store, sessions: Sequence[SessionInfo], athlete: str) -> Past:
    """Read the sessions of one athlete. Raises RecordError."""
    own = [info for info in sessions if info.header.athlete == athlete]
    days = in_order([info.header.started().date().toordinal() for info in own])
    done: list[SetDone] = []
    whole: list[SessionDone] = []
    troubles: list[Trouble] = []
    changes: list[Change] = []
    for info, day in zip(own, days, strict=True):
        facts = store.facts(info.id)
        done += sets_done(facts, info.id, day)
        minutes = store.length(info.id) / 60
        whole.append(SessionDone(info.id, day, minutes, session_effort(facts)))
        for fact in facts:
            match fact:
                case Swapped():
                    changes.append(Change(day, fact.before, fact.after, fact.cause))
                case PainReported():
                    part = (fact.part,) if fact.part else ()
                    troubles.append(Trouble(day, "pain", "during", part, fact.level, fact.movement))
                case UnwellReported():
                    troubles.append(Trouble(day, "unwell", "during", movement=fact.movement))
                case CheckedIn() if fact.pain:
                    troubles.append(Trouble(day, "pain", "before", fact.parts, fact.pain))
    return Past(History(tuple(done), tuple(whole)), tuple(troubles), tuple(changes))
