"""What is known of a session when it begins."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import pytest
from pydantic import ValidationError

from assistant.record.header import SessionHeader
from catalogue.model import Phase, Profile
from catalogue.plan import Block, Plan, Target

PROFILE = Profile(athlete="Ada", language="en", equipment=("bar",))
PLAN = Plan(
    blocks=(
        Block(
            movement="roller_stand", phase=Phase.MAIN, target=Target(seconds=40, sets=2, rest=45)
        ),
    ),
    seconds=300,
)


def made(started: datetime) -> SessionHeader:
    return SessionHeader.of(
        started=started,
        profile=PROFILE,
        plan=PLAN,
        catalogue="demo",
        catalogue_digest="0" * 64,
        seed=7,
        program="0.1.0",
    )


def test_profile_and_plan_come_back() -> None:
    header = SessionHeader.model_validate_json(
        made(datetime(2025, 1, 6, 18, 30, tzinfo=timezone(timedelta(hours=1)))).model_dump_json()
    )
    assert (header.read_profile(), header.read_plan()) == (PROFILE, PLAN)
    assert (header.athlete, header.language) == ("Ada", "en")


@pytest.mark.parametrize("hours", [-11.0, -3.5, 0.0, 1.0, 5.75, 14.0])
def test_a_session_belongs_to_the_athletes_day(hours: float) -> None:
    clock = datetime(2025, 1, 6, 23, 30, tzinfo=timezone(timedelta(hours=hours)))
    header = made(clock)
    assert header.started() == clock.replace(tzinfo=None)
    assert datetime.fromisoformat(header.started_utc) == clock
    assert header.started_utc.endswith("+00:00")


def test_a_time_without_a_zone_is_refused() -> None:
    with pytest.raises(ValueError, match="time zone"):
        made(datetime(2025, 1, 6, 18, 30))


@pytest.mark.parametrize(
    "wrong",
    [
        {"started_utc": "yesterday"},
        {"started_utc": "2025-01-06T18:30:00"},
        {"started_utc": "2025-01-06T18:30:00+01:00"},
        {"profile": "Ada"},
        {"plan": "[]"},
        {"mood": "good"},
    ],
)
def test_nonsense_is_refused(wrong: dict[str, str]) -> None:
    good = made(datetime(2025, 1, 6, 18, 30, tzinfo=UTC)).model_dump()
    with pytest.raises(ValidationError):
        SessionHeader(**{**good, **wrong})
