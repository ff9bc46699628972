"""The whole program in a real terminal: `cuewalk train --typed` driven with keys in tmux."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from assistant.screen.block_letters import DOTS_HIGH, beside, bitmap, shape, size_for
from tests.invented import catalogue, line_stand

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(shutil.which("tmux") is None, reason="needs tmux"),
]

PATIENCE = 30.0
SPEED = 3.0
"""Of the session's clock, where the seconds are read from the screen."""
CAUTIONS = 30.0
"""Session seconds that hearing the session's own cautions takes at most."""

CATALOGUE = catalogue(
    line_stand("{ kind = 'hold', seconds = [15, 16], sets = 1, rest = 8 }", 'sides = "each"')
)


class Window:
    """A terminal of a given size with the program in it."""

    def __init__(self, home: Path, columns: int, rows: int, *words: str) -> None:
        (home / "catalogue").mkdir()
        (home / "catalogue" / "all.toml").write_text(CATALOGUE)
        self.columns, self.rows = columns, rows
        self.socket = f"cuewalk-test-{os.getpid()}-{home.name}"
        environ = {
            "PATH": os.environ["PATH"], "HOME": str(home), "CUEWALK_HOME": str(home),
            "TERM": "xterm-256color", "LANG": "C.UTF-8", "SHELL": "/bin/sh",
            "PS1": "shell>", "ENV": "",
        }  # fmt: skip
        subprocess.run(
            ["tmux", "-L", self.socket, "-u", "-f", os.devnull, "new-session", "-d",
             "-x", str(columns), "-y", str(rows), "/bin/sh"],
            env=environ, check=True, timeout=PATIENCE,
        )  # fmt: skip
        program = " ".join(
            [sys.executable, "-m", "assistant", "train", "--typed",
             "--catalogue", str(home / "catalogue"), *words]
        )  # fmt: skip
        self.type(f"cd {Path(__file__).parents[3]} && {program}")

    def tmux(self, *words: str) -> str:
        done = subprocess.run(
            ["tmux", "-L", self.socket, *words],
            capture_output=True, text=True, check=True, timeout=PATIENCE,
        )  # fmt: skip
        return done.stdout

    def type(self, text: str) -> None:
        self.tmux("send-keys", "-l", text)
        self.tmux("send-keys", "Enter")

    def lines(self) -> list[str]:
        return self.tmux("capture-pane", "-p").splitlines()

    def wait(self, when: Callable[[list[str]], object], what: str) -> list[str]:
        until = time.monotonic() + PATIENCE
        while time.monotonic() < until:
            lines = self.lines()
            if when(lines):
                return lines
            time.sleep(0.05)
        raise AssertionError(what + "\n" + "\n".join(self.lines()))

    def wait_for(self, part: str) -> list[str]:
        return self.wait(lambda lines: part in "\n".join(lines), f"{part!r} was not shown")

    def close(self) -> None:
        subprocess.run(["tmux", "-L", self.socket, "kill-server"], check=False, timeout=PATIENCE)


@pytest.fixture
def window(tmp_path: Path) -> Iterator[Callable[..., Window]]:
    made: list[Window] = []

    def make(columns: int = 80, rows: int = 24, *words: str) -> Window:
        made.append(Window(tmp_path, columns, rows, *words))
        return made[-1]

    yield make
    for one in made:
        one.close()


def number_shown(lines: list[str], drawing: str, side: str) -> int | None:
    """The large number beside a shape and a side, read from the dots; None where there is none."""
    for number in range(100):
        text = str(number).rjust(2, "\u2007")
        dots = beside([shape(drawing), bitmap(text), shape(side)])
        size = size_for(dots, 78, 11)
        assert size is not None
        wide, high = size
        halves: list[list[bool]] = []
        margin = (80 - wide * len(dots[0])) // 2
        for line in lines[1:12]:
            padded = line.ljust(80)[margin:]
            halves += [[c in "▀█" for c in padded], [c in "▄█" for c in padded]]
        if all(
            halves[row * high + 1][column * wide + 1] == (dots[row][column] == "#")
            for row in range(DOTS_HIGH)
            for column in range(len(dots[0]))
        ):
            return number
    return None


def test_a_session_seen_from_across_the_room(window: Callable[..., Window]) -> None:
    here = window(80, 24, "--at", str(SPEED))
    here.wait_for("Will you keep to that")
    # The cautions count once they were heard to their end.
    time.sleep(CAUTIONS / SPEED)
    for answer, then in (
        ("yes", "today?"), ("no", "energy"), ("yes", "floor dry and clear"),
        ("yes", "ay start"),
    ):  # fmt: skip
        here.type(answer)
        assert len(here.wait_for(then)) == 24
    here.wait(lambda lines: lines[0].startswith("1 of 1: line stand"), "no movement")
    here.type("start")
    here.wait_for("athlete: start")
    # The seconds are read from the screen as an athlete would, against the wall's clock.
    seen: dict[int, float] = {}
    until = time.monotonic() + PATIENCE
    while time.monotonic() < until and 1 not in seen:
        number = number_shown(here.lines(), "work", "left")
        if number is not None:
            seen.setdefault(number, time.monotonic())
        time.sleep(0.02)
    assert set(range(2, 15)) <= set(seen), seen
    off = [(seen[n] - seen[14]) * SPEED - (14 - n) for n in range(2, 14)]
    assert max(off) < 0.5, off
    assert min(off) > -0.5, off
    here.wait_for("Change to the right side")
    # Half a word is typed while the screen goes on; it stays, and then it counts.
    here.tmux("send-keys", "-l", "fin")
    time.sleep(1.0)
    assert here.lines()[-1] == "> fin"
    here.type("ish")
    here.wait_for("End the session here?")
    here.type("yes")
    here.type("six")
    here.wait_for("on record; see it with: cuewalk log")
    here.wait(lambda lines: any(line.startswith("$") or "shell>" in line for line in lines), "end")
    left = "\n".join(here.lines())
    # A long command is wrapped by the terminal.
    assert "train --typed" in left.replace("\n", ""), "what stood there before is there again"
    assert re.search(r"^coach: .*on record", left, re.MULTILINE)


def test_plain_lines_where_asked_for(window: Callable[..., Window]) -> None:
    here = window(80, 24, "--plain")
    lines = here.wait_for("coach: Will you keep to that, yes or no?")
    assert not any(cell in "".join(lines) for cell in "█▀▄")


def test_breaking_off_gives_the_terminal_back(window: Callable[..., Window]) -> None:
    here = window(120, 40)
    here.wait_for("Will you keep to that")
    here.wait_for("█")
    here.tmux("send-keys", "C-c")
    lines = here.wait_for("cuewalk: Broken off")
    assert not any(cell in "".join(lines) for cell in "█▀▄")
    assert "train --typed" in "".join(lines)


def test_a_window_made_larger_is_filled(window: Callable[..., Window]) -> None:
    here = window(80, 24)
    here.wait_for("Will you keep to that")
    small = sum(line.count("█") for line in here.wait_for("█"))
    here.tmux("resize-window", "-x", "120", "-y", "40")
    here.wait(lambda lines: sum(line.count("█") for line in lines) > 2 * small, "not larger")
    here.wait(lambda lines: len(lines) == 40 and lines[-1].startswith(">"), "no prompt below")
