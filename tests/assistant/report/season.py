"""Invented seasons of training, put on record by the real session through the real store."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from assistant.athletes import ATHLETES
from assistant.coach import Coach
from assistant.files import builtin_catalogue
from assistant.preparing import begin, new_setting
from assistant.record.header import SessionHeader
from assistant.record.store import Store
from assistant.rehearsal import rehearse
from assistant.session.events import Event, Started
from assistant.session.facts import Fact
from catalogue.model import Level, Profile

FIRST = datetime(2026, 3, 2, 18, 0, tzinfo=UTC)
WAYS = ("steady", "careful", "falls", "steady", "gives-up", "empty-handed")


def profile(athlete: str = "Robin", level: Level = Level.BEGINNER, minutes: int = 30) -> Profile:
    """Someone with all the equipment there is, at one level in every skill."""
    catalogue = builtin_catalogue()
    return Profile(
        athlete=athlete,
        equipment=tuple(catalogue.equipment),
        levels=dict.fromkeys(catalogue.skills, level),
        minutes=minutes,
        space=6.0,
    )


def train(
    path: Path,
    who: Profile,
    sessions: int,
    every: float = 2.0,
    ways: Sequence[str] = WAYS,
    first: datetime = FIRST,
) -> None:
    """Rehearse so many sessions onto the record at `path`, one `every` so many days."""
    catalogue = builtin_catalogue()
    coach = Coach.of(catalogue, "en")
    with Store.open(path) as store:
        # What a power cut would lose is of no interest here, and flushing takes its time.
        store._connection.execute("PRAGMA synchronous = OFF")
        for number in range(sessions):
            now = first + timedelta(days=round(number * every))
            setting = new_setting(catalogue, who, store, now)
            session = begin(store, setting, now, "0" * 64, "0.1.0")

            def record(event: Event, facts: Sequence[Fact], session: int = session) -> None:
                store.append(session, event, facts)

            answer = ATHLETES[ways[number % len(ways)]]
            rehearse(setting, answer, coach.render, coach.understand, number, record)


@dataclass(frozen=True)
class Session:
    """A session of which only its facts matter."""

    day: datetime
    facts: Sequence[Fact]
    minutes: float = 30.0


def write(path: Path, who: Profile, sessions: Sequence[Session]) -> None:
    """Put sessions on record that hold just these facts."""
    with Store.open(path) as store:
        for one in sessions:
            header = SessionHeader(
                started_utc=one.day.isoformat(),
                athlete=who.athlete,
                language="en",
                profile=who.model_dump_json(),
                plan="{}",
                catalogue="demo",
                catalogue_digest="0" * 64,
                seed=0,
                program="0.1.0",
            )
            number = store.begin(header)
            store.append(number, Started(one.minutes * 60), one.facts)


Make = Callable[..., Path]
