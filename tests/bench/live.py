"""The whole program in the virtual room: `python tests/bench/live.py [ENGINE]`, else the best one.

Bars: start to the first spoken word under 2 s; from the end of a spoken command to the first
sample of the answer median under 0.6 s and p95 under 0.9 s; listening under 10% of one core; the
whole process under 300 MB. Needs PulseAudio and flite, as tests/room does.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.room.listening import Heard, listening
from tests.room.virtual_room import VirtualRoom

COMMANDS = ("louder", "quieter", "what comes next", "how long is left", "slower", "faster") * 4
QUIET = 9.0
"""Seconds in which the coach has said everything after a command."""

OPENING = (
    ("ready", "first, the cautions"), ("yes", "(pain|hurt) today"), ("no", "is your energy"),
    ("yes", "dry and clear"), ("yes", "say start"),
)  # fmt: skip
"""The answers up to the first movement, and what the coach says when they were understood (regular
expressions)."""

PROFILE = 'athlete = "Robin"\nminutes = 20\n'


def main() -> None:
    engine = sys.argv[1] if len(sys.argv) > 1 else None
    with tempfile.TemporaryDirectory() as name, VirtualRoom() as room:
        folder = Path(name)
        (folder / "me.toml").write_text(PROFILE)
        with listening(room, "room.monitor") as coach, listening(room, "mouth.monitor") as athlete:
            began = time.monotonic()
            program = start(room, folder, engine)
            pid = program.pid
            told = captions(program)
            for answer, then in (
                ("yes", "Any pain today"), ("no", "Is your energy"), ("yes", "dry and clear"),
                ("yes", "say start"),
            ):  # fmt: skip
                answered(room, told, answer, then)
            time.sleep(12)
            quiet_from, used = time.monotonic(), processor(pid)
            time.sleep(10)
            idle = (processor(pid) - used) / (time.monotonic() - quiet_from)
            heard = 0
            for command in COMMANDS:
                before = len(told)
                room.speak_text(command)
                time.sleep(4.0)
                heard += any(line.startswith("coach:") for line in told[before:])
                time.sleep(2.0)
            memory = resident(pid)
            program.kill()
            program.wait()
        found = result(coach, athlete, began, idle, memory, heard)
        print(json.dumps({"bench": "live", "engine": engine or "best", **found}))


def result(
    coach: Heard, athlete: Heard, began: float, idle: float, memory: float, heard: int
) -> dict[str, object]:
    answers = coach.sounds(above=0.01, gap=0.3)
    commands = athlete.sounds(above=0.01, gap=0.5)[-len(COMMANDS) :]
    waits = []
    for _, ended in commands:
        after = [b for b, _ in answers if ended - 0.05 < b < ended + 3.0]
        if after:
            waits.append(after[0] - ended)
    return {
        "start_to_first_word_s": round(answers[0][0] - began, 3),
        "commands": len(commands),
        "answered": heard,
        "answer_median_s": round(float(np.median(waits)), 3),
        "answer_p95_s": round(float(np.percentile(waits, 95)), 3),
        "listening_core": round(idle, 4),
        "memory_mb": round(memory, 1),
    }


def start(room: VirtualRoom, folder: Path, engine: str | None = None) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-m", "assistant", "train", *(("--engine", engine) if engine else ()),
         "--profile", str(folder / "me.toml"), "--record", str(folder / "record.db")],
        env=room.env, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
    )  # fmt: skip


def captions(program: subprocess.Popen[str]) -> list[str]:
    """What the program tells, growing as it does."""
    lines: list[str] = []

    def read() -> None:
        assert program.stdout is not None
        for line in program.stdout:
            lines.append(line.rstrip())

    threading.Thread(target=read, daemon=True).start()
    return lines


def answered(room: VirtualRoom, told: list[str], answer: str, then: str) -> None:
    """Answer a question, again if need be, until the coach goes on."""
    for _ in range(6):
        time.sleep(QUIET)
        room.speak_text(answer)
        time.sleep(3.0)
        if any(re.search(then, line, re.IGNORECASE) for line in told):
            return
    raise SystemExit(f"{answer!r} was not understood: {told[-6:]}")


def processor(pid: int) -> float:
    """Processor seconds of a process so far (Linux)."""
    fields = Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def resident(pid: int) -> float:
    """Resident memory in MB, the voice's helper process included."""
    kilobytes = 0
    for folder in Path("/proc").iterdir():
        if not folder.name.isdigit():
            continue
        try:
            status = (folder / "status").read_text()
        except OSError:
            continue
        values = dict(line.split(":", 1) for line in status.splitlines() if ":" in line)
        if folder.name == str(pid) or values.get("PPid", "").strip() == str(pid):
            kilobytes += int(values.get("VmRSS", "0 kB").split()[0])
    return kilobytes / 1024


if __name__ == "__main__":
    main()
