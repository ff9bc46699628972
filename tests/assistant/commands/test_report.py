"""`cuewalk report` as a user meets it."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from tests.assistant.report.run import run
from tests.assistant.report.season import FIRST, Session, profile, train, write


def test_a_report_is_written(tmp_path: Path) -> None:
    record, page = tmp_path / "record.db", tmp_path / "robin.html"
    train(record, profile(), 3)
    ran = run("report", "--record", record, "--to", page)
    assert (ran.code, ran.out) == (0, f"{page}: the training of Robin, 3 sessions\n")
    text = page.read_text(encoding="utf-8")
    assert text.startswith("<!doctype html>")
    assert "Training of Robin" in text
    assert run("report", "--record", record, "--to", "-").out.startswith("<!doctype html>")


def test_nothing_on_record_is_one_sentence(tmp_path: Path) -> None:
    nothing = run("report", "--record", tmp_path / "none.db")
    assert (nothing.code, nothing.out) == (2, "")
    assert nothing.err == "cuewalk: Nothing is on record yet: train first, with cuewalk train.\n"
    empty = tmp_path / "empty.db"
    write(empty, profile(), [])
    assert run("report", "--record", empty) == nothing


def test_several_athletes_have_to_be_told_apart(tmp_path: Path) -> None:
    record = tmp_path / "record.db"
    write(record, profile("Robin"), [Session(FIRST, [])])
    write(record, profile("Kim"), [Session(FIRST + timedelta(days=1), [])])
    ran = run("report", "--record", record, "--to", tmp_path / "a.html")
    assert ran.code == 2
    assert "--athlete NAME" in ran.err
    ran = run("report", "--record", record, "--to", "-", "--athlete", "Kim")
    assert ran.code == 0
    assert "Training of Kim" in ran.out
    assert "Robin" not in ran.out


def test_a_page_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    record = tmp_path / "record.db"
    write(record, profile(), [Session(FIRST, [])])
    ran = run("report", "--record", record, "--to", tmp_path / "none" / "a.html")
    assert ran.code == 2
    assert len(ran.err.splitlines()) == 1
    assert "Traceback" not in ran.err


def test_a_damaged_record_is_told(tmp_path: Path) -> None:
    record = tmp_path / "record.db"
    record.write_bytes(b"no database" * 1000)
    ran = run("report", "--record", record)
    assert ran.code == 2
    assert "damaged" in ran.err
