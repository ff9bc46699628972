"""The real program, typed to through a pipe by an athlete who answers what the coach says.

The same words always get the same answer, so that every session of a plan goes the same way,
however often it is broken off and taken up again.
"""

from __future__ import annotations

import os
import resource
import signal
import subprocess
import sys
import threading
from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path

from assistant.coach import lines_of
from tests.invented import catalogue, line_stand

CATALOGUE = catalogue(
    '[[skill]]\nid = "supports"\nname = "supports"',
    line_stand("{ kind = 'hold', seconds = [12, 14], sets = 2, rest = 8 }"),
    """\
[[movement]]
id = "knee_turns"
name = "knee turns"
skill = "supports"
level = "beginner"
step = 1
sides = "each"
dosage = { kind = "reps_per_side", per_side = [4, 5], sets = 2, rest = 8 }
set_up = ["Kneel on one knee."]
cues = [
    { focus = "outside", text = "Draw a circle on the wall." },
    { focus = "outside", text = "Touch the floor without a sound." },
]
loads = ["knee"]
""",
)

PROFILE = """\
athlete = "Robin"
equipment = []
minutes = 10

[levels]
balance = "beginner"
supports = "beginner"
"""

Answer = Callable[[str], str | None]


@cache
def _about_pain() -> frozenset[str]:
    lines = lines_of("en").lines
    return frozenset(text for name in ("pain.ask", "pain.again") for text in lines[name])


def answer(said: str) -> str | None:
    """What the athlete types after a line of the coach; None where nothing was asked.

    >>> answer("Any pain today?"), answer("Set 2 of 2. Say start when you are ready.")
    ('no', 'start')
    """
    if said in _about_pain():
        return "no"
    for asked in ("start", "resume", "done", "yes"):
        if f"ay {asked}" in said:
            return asked
    if "0 to 10" in said:
        return "six"
    return "yes" if "?" in said else None


class Program:
    """`cuewalk train` in a folder of its own; `lines` are those shown so far."""

    def __init__(
        self,
        home: Path,
        *words: str,
        answer: Answer = answer,
        environ: dict[str, str] | None = None,
        room: int | None = None,
    ) -> None:
        """`room` is how many bytes a file may grow to, as on a disk that is full at some time."""
        self.lines: list[str] = []
        self.began = threading.Event()
        """Set when the coach has said the first line."""
        self._answer = answer
        self._process = subprocess.Popen(
            [sys.executable, "-m", "assistant", "train", *words],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            env={"PATH": os.environ["PATH"], "HOME": str(home), "CUEWALK_HOME": str(home)}
            | (environ or {}),
            preexec_fn=None if room is None else lambda: _limit_files(room),
        )
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def _read(self) -> None:
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        for line in self._process.stdout:
            self.lines.append(line.rstrip("\n"))
            if line.startswith("coach: "):
                self.began.set()
                said = self._answer(self.lines[-1].removeprefix("coach: "))
                if said is not None:
                    try:
                        self._process.stdin.write(f"{said}\n")
                        self._process.stdin.flush()
                    except BrokenPipeError:
                        # It was killed; what it had said is still to be read.
                        continue
        self.began.set()

    @property
    def process_id(self) -> int:
        return self._process.pid

    def wait(self, seconds: float) -> int | None:
        """Its exit code, or None where it goes on after so many seconds."""
        try:
            code = self._process.wait(seconds)
        except subprocess.TimeoutExpired:
            return None
        self._reader.join()
        return code

    def kill(self) -> None:
        """SIGKILL: it has no say in it."""
        self._process.send_signal(signal.SIGKILL)
        self._process.wait()
        self._reader.join()


def _limit_files(size: int) -> None:
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))


def home_in(folder: Path, catalogue: str = CATALOGUE, profile: str = PROFILE) -> Sequence[str]:
    """Write catalogue and profile into a folder; the words that name them."""
    (folder / "catalogue").mkdir(parents=True)
    (folder / "catalogue" / "all.toml").write_text(catalogue)
    (folder / "me.toml").write_text(profile)
    return ("--catalogue", str(folder / "catalogue"), "--profile", str(folder / "me.toml"))
