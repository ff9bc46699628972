"""`cuewalk train` again on a day on which the athlete was unwell: by the keyboard or not at all."""

from __future__ import annotations

import os
import pty
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from assistant.record.store import Store
from assistant.session.facts import ReturnChosen, UnwellReported

WORDS = ("-m", "assistant", "train", "--typed", "--at", "100", "--plain")


def environ(home: Path) -> dict[str, str]:
    return {"PATH": "/usr/bin:/bin", "HOME": str(home), "CUEWALK_HOME": str(home), "TERM": "xterm"}


def from_a_pipe(home: Path, lines: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *WORDS],
        env=environ(home), input=lines, capture_output=True, text=True, timeout=120,
    )  # fmt: skip


def at_the_keyboard(home: Path, *lines: str) -> tuple[int, str]:
    """In a terminal: each line is typed when the program waits for one."""
    leader, follower = pty.openpty()
    program = subprocess.Popen(
        [sys.executable, *WORDS],
        env=environ(home), stdin=follower, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
    )  # fmt: skip
    os.close(follower)
    for line in lines:
        os.write(leader, f"{line}\n".encode())
    out, _ = program.communicate(timeout=120)
    os.close(leader)
    return program.returncode, out.decode()


@pytest.fixture(scope="module")
def morning(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A record on which the athlete was unwell today."""
    home = tmp_path_factory.mktemp("morning")
    done = from_a_pipe(home, "yes\nI feel dizzy\n")
    assert done.returncode == 0, done.stderr
    with Store.open(home / "record.db", read_only=True) as store:
        assert any(isinstance(fact, UnwellReported) for fact in store.facts(1))
    return home / "record.db"


@pytest.fixture
def unwell(morning: Path, tmp_path: Path) -> Path:
    shutil.copy(morning, tmp_path / "record.db")
    return tmp_path


def test_without_a_keyboard_it_is_refused_in_a_sentence(unwell: Path) -> None:
    done = from_a_pipe(unwell, "train\nyes\nno\nyes\n")
    assert done.returncode == 2
    (told,) = done.stderr.splitlines()
    assert "keyboard" in told
    assert "coach or a clinician" in told
    with Store.open(unwell / "record.db", read_only=True) as store:
        assert len(store.sessions()) == 1


def test_anything_but_the_word_leaves_it(unwell: Path) -> None:
    code, said = at_the_keyboard(unwell, "yes")
    assert code == 1
    assert "Not today, then." in said
    with Store.open(unwell / "record.db", read_only=True) as store:
        assert len(store.sessions()) == 1


def test_chosen_it_is_on_record(unwell: Path) -> None:
    code, said = at_the_keyboard(unwell, "train", "finish", "yes")
    assert code == 0, said
    assert "unwell today, and chose to train again" in said
    with Store.open(unwell / "record.db", read_only=True) as store:
        assert any(isinstance(fact, ReturnChosen) for fact in store.facts(2))
