"""What the record knows of an athlete's cautions, and whether they were unwell today."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta

from assistant.record.store import SessionInfo, Store
from assistant.session.facts import CautionsAccepted, CautionsHeard, UnwellReported

AGAIN_AFTER = 30
"""Days after which the session's own cautions are said in full again (judgement)."""


@dataclass(frozen=True)
class Cautioned:
    """`movements` are those whose cautions were heard in full; `first_time` is True where the
    session's own are due in full; `accepted` where they were taken on in their present wording."""

    movements: frozenset[str] = frozenset()
    first_time: bool = True
    accepted: bool = False


def cautioned(
    store: Store, athlete: str, day: int, text: str, before: int | None = None
) -> Cautioned:
    """As the sessions before the number `before` tell (all of them where it is None).

    `day` is today's ordinal, `text` the digest of the cautions' wording. Raises RecordError.
    """
    movements: set[str] = set()
    first_time, accepted = True, False
    for info in _sessions(store, athlete, before):
        ago = day - info.header.started().date().toordinal()
        for fact in store.facts(info.id):
            match fact:
                case CautionsHeard(movement=str(movement)):
                    movements.add(movement)
                case CautionsHeard():
                    first_time = first_time and ago > AGAIN_AFTER
                case CautionsAccepted():
                    accepted = accepted or fact.text == text
    return Cautioned(frozenset(movements), first_time, accepted)


def unwell_on(store: Store, athlete: str, day: int, before: int | None = None) -> bool:
    """Whether the athlete was unwell in a session that began or ended on a day, by their clock.

    Raises RecordError.
    """
    for info in _sessions(store, athlete, before):
        began = info.header.started()
        ended = began + timedelta(seconds=store.length(info.id))
        if began.date().toordinal() <= day <= ended.date().toordinal() and any(
            isinstance(fact, UnwellReported) for fact in store.facts(info.id)
        ):
            return True
    return False


def _sessions(store: Store, athlete: str, before: int | None) -> Iterator[SessionInfo]:
    for info in store.sessions():
        if info.header.athlete == athlete and (before is None or info.id < before):
            yield info
