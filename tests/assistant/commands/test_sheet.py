"""`cuewalk sheet` as a user meets it."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from assistant.files import builtin_catalogue
from assistant.preparing import new_setting
from assistant.record.store import Store
from tests.assistant.report.run import run
from tests.assistant.report.season import profile, train


def test_the_sheet_is_of_the_session_that_would_be_trained(tmp_path: Path) -> None:
    record, page = tmp_path / "record.db", tmp_path / "today.html"
    train(record, profile(), 3)
    ran = run("sheet", "--record", record, "--to", page, "--day", "2026-03-31")
    assert ran.code == 0, ran.err
    with Store.open(record, read_only=True) as store:
        now = datetime(2026, 3, 31).astimezone()
        plan = new_setting(builtin_catalogue(), profile(), store, now).plan
    assert ran.out == f"{page}: {len(plan.blocks)} movements for Robin\n"
    text = page.read_text(encoding="utf-8")
    assert "Session of Robin, 31 Mar 2026" in text
    places = [text.index(f"<b>{builtin_catalogue().movements[b.movement].name}</b>")
              for b in plan.blocks]  # fmt: skip
    assert places == sorted(places)


def test_no_record_and_no_profile_is_a_beginner(tmp_path: Path) -> None:
    ran = run("sheet", "--record", tmp_path / "none.db", "--to", "-", "--minutes", "15")
    assert ran.code == 0
    assert "About 15 minutes" in ran.out or "About 14 minutes" in ran.out


def test_bad_input(tmp_path: Path) -> None:
    none = tmp_path / "none.db"
    ran = run("sheet", "--record", none, "--day", "tomorrow")
    assert ran == (2, "", "cuewalk: 'tomorrow' is no day; write it as 2026-03-31.\n")
    assert run("sheet", "--record", none, "--minutes", "1").code == 2
    assert run("sheet", "--record", none, "--athlete", "Sam").code == 2
