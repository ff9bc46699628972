"""The program as a whole: help, version, completion, Ctrl-C."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from typer import Typer
from typer.testing import CliRunner

from assistant.commands.app import app
from tests.assistant.commands.test_bad_input import run

ROOT = Path(__file__).parents[3]


def completed(shell: str, words: str, position: int) -> str:
    """What a shell is offered, asked as typer's own completion scripts ask."""
    environ = {
        "PATH": os.environ["PATH"], "_CUEWALK_COMPLETE": f"complete_{shell}",
        "COMP_WORDS": words, "COMP_CWORD": str(position), "_TYPER_COMPLETE_ARGS": words,
        "_TYPER_COMPLETE_FISH_ACTION": "get-args", "_TYPER_COMPLETE_WORD_TO_COMPLETE": "",
    }  # fmt: skip
    done = subprocess.run(
        [sys.executable, "-m", "assistant"],
        env=environ, cwd=ROOT, capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    return done.stdout


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_shells_complete_commands_and_options(shell: str) -> None:
    assert "train" in completed(shell, "cuewalk tra", 1)
    assert "--plain" in completed(shell, "cuewalk train --pl", 2)
    assert "catalogue" in completed(shell, "cuewalk new cat", 2)


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_each_shell_has_its_script(shell: str) -> None:
    environ = {"PATH": os.environ["PATH"], "_CUEWALK_COMPLETE": f"source_{shell}"}
    script = subprocess.run(
        [sys.executable, "-m", "assistant"],
        env=environ, cwd=ROOT, capture_output=True, text=True, timeout=60, check=False,
    ).stdout  # fmt: skip
    assert "_CUEWALK_COMPLETE" in script


def test_every_command_has_help_with_an_example() -> None:
    names = [command.name for command in app.registered_commands]
    assert len(names) >= 16
    for name in names:
        text = CliRunner().invoke(app, [str(name), "--help"], prog_name="cuewalk").stdout
        usage, rest = text.split("Usage: cuewalk", 1)[1].split("\n", 1)
        assert str(name) in usage
        assert f"cuewalk {name}" in rest or f"| cuewalk {name}" in rest, name


@pytest.mark.parametrize("group", [[], ["new"], ["model"]])
def test_the_list_of_commands_tells_each_in_whole_sentences(group: list[str]) -> None:
    """In a window of 80 columns nothing is cut off."""
    text = CliRunner(env={"COLUMNS": "80", "TERMINAL_WIDTH": "80"}).invoke(
        app, [*group, "--help"], prog_name="cuewalk"
    )
    listed = text.stdout.split("Commands:\n", 1)[1].split("\n\n")[0].splitlines()
    assert listed
    for line in listed:
        assert line.endswith("."), line
        assert not line.endswith("..."), line


def test_help_fits_a_window_of_80_columns() -> None:
    """And each option's words stand on its own line."""
    for words in commands():
        text = CliRunner(env={"COLUMNS": "80", "TERMINAL_WIDTH": "80"}).invoke(
            app, [*words, "--help"], prog_name="cuewalk"
        )
        options = text.stdout.split("Options:\n", 1)[1].split("\n\n")[0].splitlines()
        assert options, words
        for line in text.stdout.splitlines():
            assert len(line) <= 80, (words, line)
        for line in options:
            assert line.startswith("  -"), (words, line)


def commands() -> list[list[str]]:
    """Every command by its words."""
    groups: list[tuple[list[str], Typer]] = [([], app)]
    groups += [([str(group.name)], group.typer_instance) for group in app.registered_groups]
    return [
        [*words, str(command.name or getattr(command.callback, "__name__", ""))]
        for words, group in groups
        for command in group.registered_commands
    ]


def test_version_is_told(tmp_path: Path) -> None:
    assert run("--version", home=tmp_path).stdout.startswith("cuewalk ")


def test_breaking_off_says_that_the_log_is_kept(tmp_path: Path) -> None:
    environ = {"PATH": os.environ["PATH"], "HOME": str(tmp_path), "CUEWALK_HOME": str(tmp_path)}
    with subprocess.Popen(
        [sys.executable, "-m", "assistant", "train", "--typed"],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        env=environ, cwd=ROOT,
        # What runs the tests in the background may have had this signal ignored.
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    ) as program:  # fmt: skip
        assert program.stdout is not None
        assert program.stdout.readline().startswith("coach: ")
        time.sleep(0.3)
        program.send_signal(signal.SIGINT)
        _, said = program.communicate(timeout=30)
    assert program.returncode == 130
    assert said.strip() == "cuewalk: Broken off; what was logged is kept"
