"""Microphone and loudspeaker that go and come back in a running hold, with a real sound server."""

from __future__ import annotations

import os
import queue
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest

from assistant.commands.app import program_version
from assistant.files import read_catalogue
from assistant.preparing import begin, digest_of, new_setting
from assistant.record.store import Store
from assistant.session.decide import decide, replay
from assistant.session.effects import Record, StartTimer
from assistant.session.events import (
    AudioFound,
    AudioLost,
    Event,
    Heard,
    SpeechFinished,
    Started,
    TimerDue,
)
from assistant.session.facts import SetLogged
from assistant.session.nodes import Node
from assistant.session.state import opening
from catalogue.model import Profile
from intents.meaning import Meaning
from tests.invented import catalogue, line_stand
from tests.room.virtual_room import VirtualRoom

pytestmark = pytest.mark.room

CATALOGUE = catalogue(line_stand("{ kind = 'hold', seconds = [300, 300], sets = 1, rest = 8 }"))
PROFILE = Profile(athlete="Robin", minutes=15)
HELD = 20.0
"""Seconds of the hold when the program before this one broke off."""


def broken_off_in_a_hold(folder: Path) -> Path:
    """A record with a session that broke off in its first hold."""
    (folder / "catalogue").mkdir()
    file = folder / "catalogue" / "all.toml"
    file.write_text(CATALOGUE)
    (folder / "profile.toml").write_text('athlete = "Robin"\nminutes = 15\nvolume = 1.0\n')
    record, now = folder / "record.db", datetime.now().astimezone()
    with Store.open(record) as store:
        catalogue = read_catalogue(folder / "catalogue")
        setting = new_setting(catalogue, PROFILE, store, now)
        digest = digest_of({"all.toml": CATALOGUE})
        session = begin(store, setting, now, digest, program_version())
        state, due = opening(setting), dict[str, float]()

        def take(event: Event) -> None:
            nonlocal state
            decision = decide(setting, state, event)
            facts = [e.fact for e in decision.effects if isinstance(e, Record)]
            due.update({e.timer: e.due for e in decision.effects if isinstance(e, StartTimer)})
            store.append(session, event, facts)
            state = decision.state

        take(Started(0.0))
        for word in ("yes", "no", "yes", "yes", "start"):
            while state.speaking:
                take(SpeechFinished(state.at, state.speaking[0], True))
            take(Heard(state.at, word, (Meaning(word),), 1.0, "act", state.at))
        while state.node is not Node.WORK or state.clock.seconds(state.at) < HELD:
            at, timer = min((due[t], t) for t in state.timers.values())
            take(TimerDue(at, timer))
    return record


class Session:
    """The program in the room, and its captions as they come."""

    def __init__(self, room: VirtualRoom, folder: Path) -> None:
        self.program = subprocess.Popen(
            [sys.executable, "-m", "assistant", "train", "--engine", "pocketsphinx",
             "--catalogue", str(folder / "catalogue"), "--profile", str(folder / "profile.toml"),
             "--record", str(folder / "record.db")],
            env=room.env, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
        )  # fmt: skip
        self.captions: list[str] = []
        self._lines: queue.Queue[str] = queue.Queue()
        threading.Thread(target=self._read, daemon=True).start()

    def _read(self) -> None:
        assert self.program.stdout is not None
        for line in self.program.stdout:
            self._lines.put(line.rstrip())

    def hear(self, part: str, patience: float = 15.0) -> float:
        """Wait for a caption; returns how many seconds that took."""
        began = time.monotonic()
        while time.monotonic() - began < patience:
            try:
                self.captions.append(self._lines.get(timeout=0.2))
            except queue.Empty:
                continue
            if part in self.captions[-1]:
                return time.monotonic() - began
        raise AssertionError(f"{part!r} was not said: {self.captions[-8:]}")


@pytest.fixture
def session(room: VirtualRoom, tmp_path: Path) -> Iterator[Session]:
    broken_off_in_a_hold(tmp_path)
    made = Session(room, tmp_path)
    yield made
    made.program.kill()
    made.program.wait()


def resume(room: VirtualRoom, session: Session) -> None:
    for _ in range(4):
        time.sleep(2.0)
        room.speak_text("resume")
        try:
            session.hear("Into position", 4.0)
        except AssertionError:
            continue
        time.sleep(5 + 1.5)
        return
    raise AssertionError(f"not resumed: {session.captions[-8:]}")


def test_a_hold_outlives_the_microphone_the_loudspeaker_and_both(
    room: VirtualRoom, session: Session, tmp_path: Path
) -> None:
    session.hear("stood at 20 seconds", 60)
    session.hear("Say resume")
    resume(room, session)
    for kind, name, gone, back in (
        ("source", "mic", "I can not hear you", "I hear again"),
        ("sink", "room", "The loudspeaker is gone", "I am back"),
    ):
        room.pactl(f"suspend-{kind}", name, "1")
        assert session.hear(gone) < 3.0
        session.hear("Paused at")
        # Longer than it takes to find that a device opens and stays silent.
        time.sleep(2.5)
        room.pactl(f"suspend-{kind}", name, "0")
        assert session.hear(back) < 4.0
        session.hear("Paused at")
    # The whole sound server goes, and another takes its place.
    room.stop()
    session.hear("is gone")
    time.sleep(1.0)
    room.start()
    session.hear("Say resume", 20.0)
    session.program.kill()
    session.program.wait()
    with Store.open(tmp_path / "record.db", read_only=True) as store:
        events, facts = store.events(1), store.facts(1)
        setting = new_setting(read_catalogue(tmp_path / "catalogue"), PROFILE, None, datetime.now())
    lost = [e.device for e in events if isinstance(e, AudioLost)]
    found = [e.device for e in events if isinstance(e, AudioFound)]
    assert lost[:2] == ["microphone", "loudspeaker"]
    assert set(lost[2:]) == {"microphone", "loudspeaker"}
    assert found[:2] == ["microphone", "loudspeaker"], "told once, and only when it was back"
    assert not [f for f in facts if isinstance(f, SetLogged)], "nothing was logged of itself"
    # What was held before the first loss was told, and nothing of the pauses.
    kept = replay(setting, events).clock.kept
    assert HELD + 1.0 < kept < HELD + 5.0


@pytest.mark.skipif("CUEWALK_LONG" not in os.environ, reason="half a minute: CUEWALK_LONG=1")
def test_another_default_device_takes_over(
    room: VirtualRoom, session: Session, tmp_path: Path
) -> None:
    """The microphone goes for good, and one at 8 kHz is the default; the loudspeaker's place is
    taken by another, which the sound server does by itself and without a gap that is told."""
    for words in (
        "module-null-sink sink_name=mouth2 rate=8000 channels=1 format=s16le",
        "module-remap-source source_name=mic2 master=mouth2.monitor channels=1 remix=yes",
        "module-null-sink sink_name=room2 rate=44100 channels=2 format=s16le",
    ):
        room.pactl("load-module", *words.split())
    session.hear("stood at 20 seconds", 60)
    session.hear("Say resume")
    resume(room, session)
    modules = [line.split("\t") for line in room.pactl("list", "short", "modules").splitlines()]
    room.pactl("set-default-source", "mic2")
    room.pactl("set-default-sink", "room2")
    for name in ("source_name=mic ", "sink_name=room "):
        (number,) = [words[0] for words in modules if name in words[2] + " "]
        room.pactl("unload-module", number)
    session.hear("I can not hear you")
    session.hear("I hear again")
    session.hear("Paused at")
    time.sleep(2.0)
    session.program.kill()
    session.program.wait()
    with Store.open(tmp_path / "record.db", read_only=True) as store:
        events, facts = store.events(1), store.facts(1)
    assert [e.device for e in events if isinstance(e, AudioLost)] == ["microphone"]
    assert [e.device for e in events if isinstance(e, AudioFound)] == ["microphone"]
    assert not [f for f in facts if isinstance(f, SetLogged)]
