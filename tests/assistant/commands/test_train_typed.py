"""A session typed at the real program: what it says, what is on record, and taking it up again."""

from __future__ import annotations

import csv
import io
import json
import shlex
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

from assistant.record.store import Store
from assistant.session.facts import Chosen

PROFILE = 'athlete = "Robin"\nequipment = []\nminutes = 10\n[levels]\nbalance = "beginner"\n'


def program(home: Path, *words: str) -> subprocess.Popen[str]:
    (home / "me.toml").write_text(PROFILE)
    return subprocess.Popen(
        [sys.executable, "-m", "assistant", *words],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        env={"PATH": "/usr/bin:/bin", "HOME": str(home), "CUEWALK_HOME": str(home)},
    )


def run(home: Path, *words: str, lines: str = "") -> str:
    done = program(home, *words)
    out, _ = done.communicate(lines, timeout=120)
    assert done.returncode == 0, out
    return out


def train(home: Path, *lines: str, record: str | None = None) -> list[str]:
    out = run(
        home,
        "train",
        "--typed",
        "--at",
        "200",
        "--profile",
        str(home / "me.toml"),
        *(("--record", record) if record else ()),
        lines="\n".join(lines) + "\n",
    )
    return out.splitlines()


def exported(home: Path) -> dict[str, Any]:
    text = run(home, "export", "--format", "json")
    found: dict[str, Any] = json.loads(text)
    return found


def test_a_session_from_a_pipe_is_led_logged_and_shown(tmp_path: Path) -> None:
    said = train(
        tmp_path,
        "yes",
        "no",
        "yes",
        "yes",
        "start",
        "+20",
        "i came off",
        "start",
        "log 31 seconds",
        "next",
        "finish",
        "yes",
        "effort five",
    )
    coach = [line for line in said if line.startswith("coach: ")]
    assert coach == [line for line in said if not line.startswith("note: ")]
    assert any("The clock waits." in line for line in coach)
    (session,) = exported(tmp_path)["sessions"]
    (row,) = session["sets"]
    assert row["came_off"] == 1
    assert row["amount"] == 31
    table = run(tmp_path, "log")
    assert "31" in table
    rows = list(csv.DictReader(io.StringIO(run(tmp_path, "export", "--format", "csv"))))
    assert [float(r["amount"]) for r in rows] == [31]


def test_when_the_pipe_ends_the_hold_runs_on_and_the_session_closes(tmp_path: Path) -> None:
    said = train(tmp_path, "yes", "no", "yes", "yes", "start")
    assert any("ogged" in line for line in said)
    (session,) = exported(tmp_path)["sessions"]
    assert len(session["sets"]) == 1


def test_a_session_killed_in_a_hold_is_taken_up_at_that_hold(tmp_path: Path) -> None:
    words = ("train", "--typed", "--at", "10", "--profile", str(tmp_path / "me.toml"))
    broken = program(tmp_path, *words)
    assert broken.stdin is not None
    assert broken.stdout is not None
    broken.stdin.write("yes\nno\nyes\nyes\nstart\n")
    broken.stdin.flush()
    for line in broken.stdout:
        if "Half" in line:
            break
    time.sleep(0.3)
    broken.send_signal(signal.SIGKILL)
    broken.wait()
    said = train(tmp_path, "resume", "finish", "yes", "five")
    assert "coach: We broke off 1 minute ago." in said
    stood = next(line for line in said if " stood at " in line)
    seconds = int(stood.split(" stood at ")[1].split()[0])
    assert 15 <= seconds <= 40
    (session,) = exported(tmp_path)["sessions"]
    assert [row["whole"] for row in session["sets"]] in ([True], [False])
    assert session["sets"][0]["amount"] >= seconds


def test_rehearse_prints_a_timed_script_and_records_nothing(tmp_path: Path) -> None:
    out = run(tmp_path, "rehearse", "--athlete", "falls", "--minutes", "15")
    assert "coach:" in out
    assert "athlete:" in out
    assert "ended: done" in out
    assert not (tmp_path / "record.db").exists()


def test_understand_answers_line_by_line(tmp_path: Path) -> None:
    out = run(
        tmp_path,
        "understand",
        lines="log thirty-eight seconds, effort seven\ndid you see the game\nstop\n",
    )
    first, second, third = map(json.loads, out.splitlines())
    assert [(i["id"], i["slots"]) for i in first["intents"]] == [
        ("log", {"seconds": 38}),
        ("effort", {"rpe": 7}),
    ]
    assert first["decision"] == "act"
    assert [i["id"] for i in second["intents"]] == ["none"]
    assert second["decision"] == "pass"
    assert third["intents"][0]["id"] == "stop"


def test_the_way_to_the_log_names_the_record(tmp_path: Path) -> None:
    """What the note says to type shows the session."""
    record = str(tmp_path / "kept here.db")
    said = "\n".join(train(tmp_path, "finish", "yes", "skip", record=record))
    told = said.partition("see it with: cuewalk ")[2].partition("\n")[0]
    words = shlex.split(told)
    assert words == ["log", "--record", record]
    assert "Robin" in run(tmp_path, *words)


def test_louder_and_faster_hold_in_the_next_session(tmp_path: Path) -> None:
    for _ in range(2):
        train(tmp_path, "quieter", "faster", "finish", "yes", "skip")
    with Store.open(tmp_path / "record.db", read_only=True) as store:
        chosen = [
            [fact for fact in store.facts(info.id) if isinstance(fact, Chosen)]
            for info in store.sessions()
        ]
    assert chosen == [
        [Chosen("volume", "0.75"), Chosen("rate", "185")],
        [Chosen("volume", "0.6"), Chosen("rate", "205")],
    ]
