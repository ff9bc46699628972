"""The week as text, and as a calendar that vobject, an independent library, reads (RFC 5545)."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time, timedelta

import pytest
import vobject

from assistant.files import builtin_catalogue
from assistant.report.week import week_calendar, week_text
from catalogue.conditions import Conditions
from catalogue.history import History
from catalogue.model import Phase
from catalogue.week import DayPlan, plan_week
from tests.assistant.report.season import profile

CATALOGUE = builtin_catalogue()
FIRST = date(2026, 3, 2)
NOW = datetime(2026, 3, 1, 12, 30, tzinfo=UTC)


@pytest.fixture(scope="module")
def days() -> tuple[DayPlan, ...]:
    who = profile()
    return plan_week(CATALOGUE, who, Conditions.of(who), History(), FIRST.toordinal())


def calendar(days: tuple[DayPlan, ...], at: time | None = None, name: str = "Robin") -> bytes:
    return week_calendar(CATALOGUE, profile(name), days, NOW, at, "0.1.0")


def test_an_independent_reader_finds_the_training_days(days: tuple[DayPlan, ...]) -> None:
    events = vobject.readOne(calendar(days, time(18, 30)).decode()).vevent_list
    planned = [one for one in days if one.plan is not None]
    assert len(events) == len(planned) == 3
    for event, one in zip(events, planned, strict=True):
        assert one.plan is not None
        start = datetime.combine(date.fromordinal(one.day), time(18, 30))
        assert event.dtstart.value == start  # floating: no time zone
        assert event.duration.value == timedelta(minutes=round(one.plan.seconds / 60))
        assert event.dtstamp.value == NOW
        for block in one.plan.blocks:
            movement = CATALOGUE.movements[block.movement]
            in_main = block.phase is Phase.MAIN
            assert not in_main or movement.name in event.description.value
        assert "dizziness" in event.description.value


def test_without_a_time_the_day_is_taken(days: tuple[DayPlan, ...]) -> None:
    events = vobject.readOne(calendar(days).decode()).vevent_list
    assert events[0].dtstart.value == FIRST
    assert events[0].dtend.value == FIRST + timedelta(days=1)
    assert events[0].transp.value == "TRANSPARENT"


def test_what_the_standard_demands_of_its_lines(days: tuple[DayPlan, ...]) -> None:
    """RFC 5545: 3.1 lines end in CRLF and have 75 octets at most; 3.6 and 3.6.1 name the
    properties that a calendar and an event must have."""
    raw = calendar(days, time(7, 0))
    assert raw.endswith(b"\r\n")
    assert b"\n" not in raw.replace(b"\r\n", b"")
    assert all(len(line) <= 75 for line in raw.split(b"\r\n"))
    unfolded = raw.replace(b"\r\n ", b"").decode()
    assert unfolded.startswith("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:")
    assert unfolded.count("BEGIN:VEVENT") == 3
    for needed in ("UID", "DTSTAMP", "DTSTART"):
        assert len(re.findall(rf"^{needed}[:;]", unfolded, re.M)) == 3


def test_a_newer_plan_replaces_an_older_one(days: tuple[DayPlan, ...]) -> None:
    def uids(raw: bytes) -> list[str]:
        return [event.uid.value for event in vobject.readOne(raw.decode()).vevent_list]

    first = uids(calendar(days))
    assert len(set(first)) == 3
    assert uids(calendar(days, time(9, 0))) == first
    assert not set(uids(calendar(days, name="Kim"))) & set(first)


def test_the_text_has_seven_days_within_80_columns(days: tuple[DayPlan, ...]) -> None:
    text = week_text(CATALOGUE, profile(), days)
    assert max(map(len, text.splitlines())) <= 80
    for number in range(7):
        when = FIRST + timedelta(days=number)
        assert f"{when:%a} {when.day:2d} {when:%b}" in text
    assert text.count("Rest.") == 4
    for one in days:
        for block in one.plan.blocks if one.plan else ():
            if block.phase is Phase.MAIN:
                assert CATALOGUE.movements[block.movement].name in " ".join(text.split())
