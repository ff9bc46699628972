"""Whatever is wrong, the user gets one clear sentence and exit code 2, never a traceback."""

from __future__ import annotations

import subprocess
import sys
import wave
from contextlib import suppress
from pathlib import Path

import pytest

from tests.assistant.report.run import run as run_here

MOVEMENT = """
[[movement]]
id = "{id}"
name = "{name}"
skill = "balance"
level = "beginner"
step = {step}
dosage = {{ kind = "hold", seconds = {seconds}, sets = 2, rest = 30 }}
set_up = ["Stand on a line."]
cues = [
    {{ focus = "outside", text = "Look at a far spot." }},
    {{ focus = "outside", text = "Press the floor away." }},
]
loads = ["ankle"]
{links}
"""
SILENCE = {"PULSE_SERVER": "unix:/nowhere"}
"""No sound server."""

CARDS = Path("/proc/asound/cards")

HEAD = """
name = "invented"
[[skill]]
id = "balance"
name = "balance"
"""


def run(*words: str, stdin: str = "", home: Path | None = None) -> subprocess.CompletedProcess[str]:
    environ = {"PATH": "/usr/bin:/bin", "HOME": str(home), "CUEWALK_HOME": str(home)} | SILENCE
    return subprocess.run(
        [sys.executable, "-m", "assistant", *words],
        input=stdin,
        capture_output=True,
        text=True,
        timeout=120,
        env=environ,
        check=False,
    )


def refused(done: subprocess.CompletedProcess[str]) -> str:
    """The message of a run that was refused as bad input."""
    assert done.returncode == 2, (done.returncode, done.stdout, done.stderr)
    assert "Traceback" not in done.stdout + done.stderr
    return done.stdout + done.stderr


def catalogue(folder: Path, **one: str) -> str:
    values = {
        "id": "line_stand",
        "name": "line stand",
        "step": "1",
        "seconds": "[30, 45]",
        "links": "",
    } | one
    (folder / "all.toml").write_text(HEAD + MOVEMENT.format(**values))
    return str(folder)


def test_broken_toml_is_told_with_its_line(tmp_path: Path) -> None:
    (tmp_path / "all.toml").write_text('name = "x"\n[[skill]\nid = "a"\n')
    said = refused(run("check", "--catalogue", str(tmp_path), home=tmp_path))
    assert "all.toml:2:" in said


def test_a_dosage_upside_down_is_told_with_its_line(tmp_path: Path) -> None:
    said = refused(
        run(
            "train",
            "--typed",
            "--catalogue",
            catalogue(tmp_path, seconds="[45, 30]"),
            home=tmp_path,
        )
    )
    assert "all.toml:13:" in said
    assert "45" in said


def test_an_unknown_link_is_told(tmp_path: Path) -> None:
    folder = catalogue(tmp_path, links='links = { regress = "no_such", easier_because = "x y z." }')
    said = refused(run("rehearse", "--catalogue", folder, home=tmp_path))
    assert "no_such" in said


def test_a_circle_of_regressions_is_told(tmp_path: Path) -> None:
    one = MOVEMENT.format(
        id="one",
        name="stork one",
        step=1,
        seconds="[30, 45]",
        links='links = { regress = "two", easier_because = "It is." }',
    )
    two = MOVEMENT.format(
        id="two",
        name="heron two",
        step=2,
        seconds="[30, 45]",
        links='links = { regress = "one", easier_because = "It is." }',
    )
    (tmp_path / "all.toml").write_text(HEAD + one + two)
    said = refused(run("check", "--catalogue", str(tmp_path), home=tmp_path))
    assert "one" in said
    assert "two" in said


def test_an_empty_profile_is_told(tmp_path: Path) -> None:
    (tmp_path / "me.toml").write_text("")
    said = refused(run("train", "--typed", "--profile", str(tmp_path / "me.toml"), home=tmp_path))
    assert "me.toml" in said
    assert "athlete" in said


@pytest.mark.parametrize("name", ["missing.toml", "missing"])
def test_a_missing_file_is_told(tmp_path: Path, name: str) -> None:
    said = refused(run("check", "--profile", str(tmp_path / name), home=tmp_path))
    assert name in said


def test_a_recording_of_the_wrong_kind_is_told_and_nothing_is_recorded(tmp_path: Path) -> None:
    wrong = tmp_path / "notes.wav"
    wrong.write_text("this is no sound")
    said = refused(run("train", "--hear", str(wrong), home=tmp_path))
    assert "notes.wav" in said
    assert not (tmp_path / "record.db").exists()
    assert "notes.wav" in refused(run("heard", str(wrong), home=tmp_path))


def test_an_empty_recording_is_told(tmp_path: Path) -> None:
    with wave.open(str(tmp_path / "empty.wav"), "wb") as file:
        file.setparams((1, 2, 16_000, 0, "NONE", ""))
    assert "empty.wav" in refused(run("heard", str(tmp_path / "empty.wav"), home=tmp_path))


def test_a_damaged_record_is_told_and_kept(tmp_path: Path) -> None:
    record = tmp_path / "record.db"
    record.write_bytes(b"not a database" * 200)
    before = record.read_bytes()
    said = refused(run("train", "--typed", home=tmp_path, stdin="no\n"))
    assert "record.db" in said
    assert record.read_bytes() == before


def test_a_second_program_on_the_record_is_told(tmp_path: Path) -> None:
    words = [sys.executable, "-m", "assistant", "train", "--typed"]
    environ = {"PATH": "/usr/bin:/bin", "HOME": str(tmp_path), "CUEWALK_HOME": str(tmp_path)}
    with subprocess.Popen(
        words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=environ
    ) as first:
        assert first.stdout is not None
        assert first.stdout.readline().startswith("coach:")
        said = refused(run("train", "--typed", home=tmp_path))
        assert "another cuewalk" in said.lower()
        first.kill()


@pytest.mark.parametrize(
    "words",
    [
        ("train", "--at", "5"),
        ("train", "--typed", "--hear", "x.wav"),
        ("rehearse", "--athlete", "nobody"),
        ("understand", "--place", "nowhere"),
        ("heard",),
        ("nonsense",),
        ("log", "7"),
        ("export", "--format", "xml"),
        ("train", "--engine", "magic"),
    ],
)
def test_wrong_words_are_told(tmp_path: Path, words: tuple[str, ...]) -> None:
    assert refused(run(*words, home=tmp_path))


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("train", "--minutes", "3"), "--minutes takes a whole number from 5 to 120, not '3'."),
        (("week", "--days", "many"), "--days takes a whole number from 1 to 7, not 'many'."),
        (("train", "--typed", "--at", "0"), "--at takes a number from 0.1 to 10000, not '0'."),
        (("train", "--typed", "--at", "nan"), "--at takes a number from 0.1 to 10000, not 'nan'."),
        (("log", "last"), "The session takes a whole number, not 'last'."),
        (("heard",), "cuewalk heard needs FILE: WAV files. See: cuewalk heard --help"),
        (("train", "--zzz"), "No such option: --zzz. See: cuewalk train --help"),
        (("week", "--at", "25:00"), "'25:00' is no time of day; write it as 18:30."),
        (("understand", "--place", "node"), "There is no place 'node' in a session; choose one of"),
        (("why",), "Name a movement, as in: cuewalk why long plank."),
        (("sheet", "--to", "no such/x.html"), "there is no folder no such; make it first: mkdir"),
    ],
)
def test_it_is_told_what_is_allowed(words: tuple[str, ...], told: str) -> None:
    ran = run_here(*words)
    assert ran.code == 2
    assert ran.err.startswith("cuewalk: ")
    assert told in ran.err
    assert ran.err.count("\n") == 1


def test_a_group_alone_shows_its_help() -> None:
    ran = run_here("new")
    assert ran.code == 2
    assert "\n  catalogue  Write" in ran.err


def left_of(home: Path) -> list[str]:
    """Commands of processes that still run with this home."""
    mark, found = f"CUEWALK_HOME={home}".encode(), []
    for process in Path("/proc").glob("[0-9]*"):
        with suppress(OSError):
            if mark in (process / "environ").read_bytes().split(b"\0"):
                found.append((process / "cmdline").read_text().replace("\0", " "))
    return found


@pytest.mark.skipif(
    sys.platform != "linux" or (CARDS.exists() and "[" in CARDS.read_text()),
    reason="needs a Linux machine without a sound card",
)
def test_no_sound_device_is_told(tmp_path: Path) -> None:
    said = refused(run("train", "--engine", "pocketsphinx", home=tmp_path))
    assert "--typed" in said
    assert "Nothing is on record" in refused(run("log", home=tmp_path))
    assert left_of(tmp_path) == [], "the voice that was opened has ended too"
