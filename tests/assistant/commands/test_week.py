"""`cuewalk week` as a user meets it; its calendar is read by vobject, an independent library."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest
import vobject

from tests.assistant.report.run import run


@pytest.fixture
def none(tmp_path: Path) -> Path:
    return tmp_path / "none.db"


def test_a_week_to_read(none: Path) -> None:
    ran = run("week", "--record", none, "--day", "2026-03-02")
    assert ran.code == 0
    assert "the week from Monday 2 March 2026: 3 days of training" in ran.out
    assert ran.out.count("Rest.") == 4


def test_a_week_for_a_calendar(none: Path, tmp_path: Path) -> None:
    words = ("week", "--record", none, "--day", "2026-03-02", "--format", "ics", "--at", "18:30")
    ran = run(*words, "--days", "5")
    events = vobject.readOne(ran.out).vevent_list
    assert len(events) == 5
    assert events[0].dtstart.value == datetime(2026, 3, 2, 18, 30)
    file = tmp_path / "week.ics"
    assert run(*words, "--to", file).out == f"{file}: 3 days of training\n"
    assert file.read_bytes().endswith(b"END:VCALENDAR\r\n")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--at", "18:30"), "add --format ics"),
        (("--format", "ics", "--at", "evening"), "'evening' is no time of day"),
        (("--day", "2026-02-30"), "'2026-02-30' is no day"),
        (("--days", "9"), "--days"),
        (("--format", "pdf"), "pdf"),
    ],
)
def test_bad_input(none: Path, words: tuple[str, ...], told: str) -> None:
    ran = run("week", "--record", none, *words)
    assert ran.code == 2
    assert told in ran.err
    assert "Traceback" not in ran.err
