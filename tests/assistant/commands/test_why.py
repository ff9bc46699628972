"""`cuewalk why` as a user meets it."""

from __future__ import annotations

from pathlib import Path

from assistant.session.facts import EffortLogged, SetCorrected, SetLogged
from tests.assistant.report.run import run
from tests.assistant.report.season import FIRST, Session, profile, write


def test_the_decision_rests_on_the_sets_as_they_count(tmp_path: Path) -> None:
    record = tmp_path / "record.db"
    facts = [
        SetLogged(1, "line_walk", 1, "none", 30, "timer", seconds=12.0),
        SetCorrected(1, seconds=31.0),
        EffortLogged("line_walk", 5),
    ]
    write(record, profile(), [Session(FIRST, facts)])
    ran = run("why", "line", "walk", "--record", record)
    assert ran.code == 0, ran.err
    assert "Rule: " in ran.out
    assert "Source: " in ran.out
    assert ran.out.splitlines()[-1].split() == ["2026-03-02", "31", "s", "30", "s", "5"]


def test_never_trained(tmp_path: Path) -> None:
    ran = run("why", "long_plank", "--record", tmp_path / "none.db")
    assert ran.code == 0
    assert "30 seconds of long plank to begin with." in ran.out
    assert "No set of long plank is on record yet." in ran.out


def test_no_such_movement(tmp_path: Path) -> None:
    ran = run("why", "long plonk", "--record", tmp_path / "none.db")
    assert ran.code == 2
    assert ran.err == (
        "cuewalk: There is no movement 'long plonk' in the catalogue: did you mean 'long plank'? "
        "All of them: cuewalk why --list\n"
    )


def test_what_is_far_from_every_name_gets_the_nearest_and_the_way_to_all_of_them() -> None:
    ran = run("why", "stand on the hands")
    assert ran.code == 2
    names = ran.err.partition("nearest: ")[2].partition(".")[0].split(", ")
    assert len(set(names)) == 3
    everything = run("why", "--list")
    assert everything.code == 0
    for name in names:
        assert name.strip("'") in " ".join(everything.out.split())
