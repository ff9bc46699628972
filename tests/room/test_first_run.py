"""The first run in the virtual room: the microphone is listened to, and the session is seen large.

A flite voice is the athlete. Skipped, with the reason, where the room or tmux is missing.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.room.virtual_room import VirtualRoom, missing

ROOT = Path(__file__).parents[2]
PATIENCE = 60.0

pytestmark = [
    pytest.mark.room,
    pytest.mark.slow,
    pytest.mark.skipif(bool(missing()), reason=missing() or "room"),
]
ANSWERS = [
    "--name", "Robin", "--levels", "beginner", "--equipment", "none", "--space", "3",
    "--minutes", "20", "--aches", "no", "--active", "yes", "--condition", "no",
    "--symptoms", "no", "--intensity", "light", "--accept", "yes", "--microphone", "yes",
]  # fmt: skip


@pytest.fixture
def room() -> Iterator[VirtualRoom]:
    with VirtualRoom() as made:
        made.env |= {
            "CUEWALK_HOME": str(made.folder / "home" / "cuewalk"), "PYTHONUNBUFFERED": "1",
            "TERM": "xterm-256color", "LANG": "C.UTF-8",
        }  # fmt: skip
        yield made


@pytest.mark.parametrize(
    ("spoken", "heard"), [("ready", "I hear you well."), ("", "no sound at all")]
)
def test_the_microphone_is_checked(room: VirtualRoom, spoken: str, heard: str) -> None:
    with subprocess.Popen(
        [sys.executable, "-m", "assistant", "begin", *ANSWERS],
        cwd=ROOT, env=room.env, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
        stderr=subprocess.PIPE, text=True,
    ) as program:  # fmt: skip
        assert program.stdout is not None
        said = []
        for line in program.stdout:
            said.append(line)
            if "can I hear you?" in line and spoken:
                time.sleep(1.0)
                room.speak_text(spoken)
    assert program.returncode == 0
    assert heard in "".join(said)
    assert "Now: cuewalk train\n" in said


@pytest.mark.skipif(shutil.which("tmux") is None, reason="needs tmux")
def test_a_live_session_is_seen_large(room: VirtualRoom) -> None:
    socket = f"cuewalk-room-{os.getpid()}"

    def tmux(*words: str) -> str:
        done = subprocess.run(
            ["tmux", "-L", socket, "-u", "-f", os.devnull, *words],
            env=room.env, capture_output=True, text=True, timeout=PATIENCE, check=True,
        )  # fmt: skip
        return done.stdout

    def wait_for(part: str) -> str:
        until = time.monotonic() + PATIENCE
        while part not in (text := tmux("capture-pane", "-p")):
            assert time.monotonic() < until, (part, text)
            time.sleep(0.2)
        return text

    program = f"{sys.executable} -m assistant train --engine pocketsphinx --catalogue"
    subprocess.run(
        [sys.executable, "-m", "assistant", "new", "catalogue", str(room.folder / "skills")],
        cwd=ROOT, env=room.env, check=True, timeout=PATIENCE, stdout=subprocess.DEVNULL,
    )  # fmt: skip
    tmux("new-session", "-d", "-x", "80", "-y", "24", "-c", str(ROOT), "/bin/sh")
    try:
        tmux("send-keys", "-l", f"{program} {room.folder / 'skills'}")
        tmux("send-keys", "Enter")
        screen = wait_for("coach:   Will you keep")
        assert screen.count("█") > 30
        # Keys pressed by mistake leave nothing behind.
        tmux("send-keys", "x", "Enter", "y")
        time.sleep(2.5)
        screen = tmux("capture-pane", "-p")
        assert len(screen.splitlines()) == 24
        assert screen.splitlines()[0].startswith("Athlete: about")
        tmux("send-keys", "C-c")
        assert "█" not in wait_for("cuewalk: Broken off")
    finally:
        subprocess.run(["tmux", "-L", socket, "kill-server"], check=False, timeout=PATIENCE)
