"""A catalogue from a stranger can do nothing but be read, and what is wrong with it is said.

Whatever is in its folder, the program answers within seconds and in bounded memory, says in plain
text what is wrong, and leaves everything outside as it was.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from assistant.athletes import ATHLETES
from assistant.coach import Coach
from assistant.errors import InputError
from assistant.files import LOOKED_AT, read_catalogue
from assistant.preparing import new_setting
from assistant.rehearsal import rehearse
from catalogue.problems import CatalogueProblems
from catalogue.profile import default_profile
from tests.assistant.commands.test_bad_input import HEAD, MOVEMENT

SECONDS, MEGABYTES = 20, 600


def movement(**given: str) -> str:
    usual = {"id": "line_stand", "name": "line stand", "step": "1", "seconds": "[30, 45]"}
    return MOVEMENT.format(**{**usual, "links": "", **given})


def program(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """The real program on a folder, with little time and memory."""

    def bounded() -> None:
        resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
        resource.setrlimit(resource.RLIMIT_DATA, (MEGABYTES << 20, MEGABYTES << 20))

    return subprocess.run(
        [sys.executable, "-m", "assistant", *words, "--catalogue", str(folder)],
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
        preexec_fn=bounded,
        env={"PATH": os.environ["PATH"], "HOME": str(folder), "CUEWALK_HOME": str(folder / "own")},
    )


def million_entries(folder: Path) -> None:
    for number in range(14):
        (folder / f"{number}.toml").write_text("[[skill]]\n" * 75_000)


def steering_names(folder: Path) -> None:
    name = "\x1b[2J\u202egnp.toml"
    (folder / name).write_text("movement = 3\n")


@pytest.mark.parametrize(
    ("fill", "said"),
    [
        (million_entries, "characters together; make two catalogues"),
        (steering_names, "is not written as a list of entries"),
    ],
)
def test_the_program_refuses_a_folder(
    tmp_path: Path, fill: Callable[[Path], None], said: str
) -> None:
    fill(tmp_path)
    done = program(tmp_path, "rehearse")
    assert done.returncode == 2, done.stderr
    assert said in done.stderr
    assert "Traceback" not in done.stderr
    assert all(char.isprintable() or char == "\n" for char in done.stdout + done.stderr)


def test_a_folder_of_too_many_files_is_not_read(tmp_path: Path) -> None:
    for number in range(LOOKED_AT + 1):
        (tmp_path / f"{number}.txt").touch()
    with pytest.raises(InputError, match="holds over 5,000 files"):
        read_catalogue(tmp_path)


WRONG = {
    "a path for an id": (movement(id="../../etc/passwd"), "`id` is"),
    "a long id": (movement(id="a" * 61), "`id` "),
    "a long name": (movement(name="a" * 61), "`name` "),
    "a steering name": (movement(name="line \\u001b[31m"), "control character"),
    "a name from right to left": (movement(name="dnats \\u202e"), "control character"),
    "an invisible name": (movement(name="\\u200b\\u2060"), "control character"),
    "two of one id": (movement() + movement(name="another stand"), "line_stand"),
    "a key of its own": (movement() + "run = 'rm -rf /'\n", "run"),
    "a thousand brackets": ("x = " + "[" * 1000 + "]" * 1000, "nested too deeply"),
    "tables in tables": ("[" + ".".join("abcdefghijkl") + "]\nx = 1\n", "nested too deeply"),
    "a number without end": (movement(step="9" * 3000), "step"),
    "a line without end": ("x = '" + "y" * 5000 + "'", "4,000 characters"),
    "two megabytes": ("# " + "a\n# " * 700_000, "larger than"),
}


@pytest.mark.parametrize("case", WRONG)
def test_what_is_wrong_is_said(tmp_path: Path, case: str) -> None:
    text, said = WRONG[case]
    (tmp_path / "all.toml").write_text(HEAD + text)
    with pytest.raises((CatalogueProblems, InputError)) as raised:
        read_catalogue(tmp_path)
    message = str(raised.value)
    assert "all.toml" in message
    assert said in message, message
    assert all(char.isprintable() or char == "\n" for char in message)
    assert len(message) < 20_000


def test_what_is_right_is_read_and_nothing_else(tmp_path: Path) -> None:
    """Names and texts that would mean something to a shell, a format or a template stay texts."""
    folder = tmp_path / "catalogue"
    folder.mkdir()
    odd = "$(touch ../x) {seconds} %s <b>"
    text = movement(name="../stand").replace("Stand on a line.", odd)
    (folder / "all.toml").write_text(HEAD + text)
    before = sorted(path.name for path in tmp_path.rglob("*"))
    catalogue = read_catalogue(folder)
    coach = Coach.of(catalogue, "en")
    setting = new_setting(catalogue, default_profile(catalogue), None, datetime.now().astimezone())
    done = rehearse(setting, ATHLETES["steady"], coach.render, coach.understand)
    assert odd in [moment.text for moment in done.script if moment.who == "coach"]
    assert sorted(path.name for path in tmp_path.rglob("*")) == before
