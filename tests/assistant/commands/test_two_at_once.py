"""Two programs on one record: the second says so and stops, or reads only."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from tests.assistant.commands.answering import Program, home_in


def run(home: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "assistant", *words],
        input="",
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
        env={"PATH": os.environ["PATH"], "HOME": str(home), "CUEWALK_HOME": str(home)},
    )


@pytest.fixture
def training(tmp_path: Path) -> Iterator[tuple[Path, Program]]:
    """A home in which somebody trains: the coach waits for an answer that does not come."""
    words = home_in(tmp_path)
    program = Program(tmp_path, "--typed", *words, answer=lambda said: None)
    program.began.wait(60)
    yield tmp_path, program
    program.kill()


def test_the_second_is_told_or_reads_only(training: tuple[Path, Program]) -> None:
    home, program = training
    refused = (
        ("train", "--typed"),
        ("mend",),
    )
    allowed = (
        ("log",),
        ("report", "--to", "-"),
        ("new", "profile", str(home / "another.toml")),
    )
    every = (*refused, *allowed)
    with ThreadPoolExecutor(2) as pool:
        done = dict(zip(every, pool.map(lambda words: run(home, *words), every), strict=True))
    for words in refused:
        assert done[words].returncode == 2, words
        assert "another cuewalk is training" in done[words].stderr
        assert done[words].stderr.count("\n") == 1
        assert "coach:" not in done[words].stdout
    for words in allowed:
        assert done[words].returncode == 0, (words, done[words].stderr)
    assert "not ended" in done["log",].stdout
    # Nothing of that came to the first one, and when it is gone the record is free.
    program.kill()
    again = run(home, "mend")
    assert (again.returncode, again.stderr) == (0, "")


def test_of_two_that_make_one_file_one_makes_it(tmp_path: Path) -> None:
    words = ("new", "profile", str(tmp_path / "robin.toml"))
    with ThreadPoolExecutor(2) as pool:
        done = list(pool.map(lambda _: run(tmp_path, *words), range(2)))
    assert sorted(one.returncode for one in done) == [0, 2]
    assert all("is there already" in one.stderr for one in done if one.returncode)
    assert "[levels]" in (tmp_path / "robin.toml").read_text()
    assert [path.name for path in tmp_path.iterdir() if path.suffix == ".part"] == []
