"""A whole session in the virtual room: the real program, spoken to with another synthesiser.

The athlete listens to the captions, waits until the coach has finished, and speaks into the room's
microphone. What is asserted is the record, and what came out of the loudspeaker.
"""

from __future__ import annotations

import queue
import re
import subprocess
import sys
import threading
import time
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from assistant.record.history import sets
from assistant.record.store import Store
from assistant.session.facts import EffortLogged, SessionEnded, SetCorrected, Swapped
from assistant.simulated import speech_seconds
from assistant.speaking.earcons import earcon
from tests.invented import catalogue, line_stand
from tests.room.virtual_room import Recording, VirtualRoom, missing

pytestmark = [pytest.mark.room, pytest.mark.skipif(bool(missing()), reason=missing() or "room")]

DOSAGE = "{ kind = 'hold', seconds = [12, 14], sets = 2, rest = 20 }"
CATALOGUE = catalogue(
    '[[equipment]]\nid = "pipe"\nname = "pipe"',
    line_stand(DOSAGE, 'links = { progress = "pipe_stand" }'),
    """\
[[movement]]
id = "pipe_stand"
name = "pipe stand"
skill = "balance"
level = "beginner"
step = 2
equipment = ["pipe"]
dosage = { kind = "hold", seconds = [12, 14], sets = 1, rest = 20 }
set_up = ["Stand on the pipe."]
cues = [
    { focus = "outside", text = "Look at a far spot." },
    { focus = "outside", text = "Keep the pipe silent." },
]
loads = ["ankle"]
links = { regress = "line_stand", easier_because = "The floor does not roll." }
""",
)

PROFILE = """
athlete = "Robin"
equipment = ["pipe"]
minutes = 5
volume = 1.0

[levels]
balance = "beginner"
"""


class Session:
    """The program running live in the room, and its captions as they come."""

    def __init__(self, room: VirtualRoom, folder: Path) -> None:
        catalogue = folder / "catalogue"
        catalogue.mkdir()
        (catalogue / "all.toml").write_text(CATALOGUE)
        (folder / "profile.toml").write_text(PROFILE)
        self.room, self.record = room, folder / "record.db"
        self.program = subprocess.Popen(
            [sys.executable, "-m", "assistant", "train",
             "--catalogue", str(catalogue), "--profile", str(folder / "profile.toml"),
             "--record", str(self.record)],
            env=room.env, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
        )  # fmt: skip
        self.captions: list[str] = []
        self._lines: queue.Queue[str | None] = queue.Queue()
        threading.Thread(target=self._read, daemon=True).start()
        self._spoken_until = 0.0

    def _read(self) -> None:
        assert self.program.stdout is not None
        for line in self.program.stdout:
            self._lines.put(line.rstrip())
        self._lines.put(None)

    def hear(self, part: str, patience: float = 90.0) -> None:
        """Wait for a caption with this in it (a regular expression: lines vary), and until it has
        been spoken."""
        deadline = time.monotonic() + patience
        while time.monotonic() < deadline:
            try:
                line = self._lines.get(timeout=1.0)
            except queue.Empty:
                continue
            assert line is not None, f"ended before {part!r}: {self.captions[-12:]}"
            self.captions.append(line)
            if line.startswith("coach: "):
                now = time.monotonic()
                seconds = speech_seconds(line[7:], 165)
                self._spoken_until = max(self._spoken_until, now) + seconds
            if re.search(part, line):
                return
        raise AssertionError(f"{part!r} was not said: {self.captions[-12:]}")

    def finish_listening(self) -> None:
        time.sleep(max(0.0, self._spoken_until - time.monotonic()) + 0.3)

    def say(self, text: str, understood: str, voice: str = "slt") -> None:
        """Speak when the coach has finished; once more if it was not understood."""
        for _ in range(3):
            self.finish_listening()
            self.room.speak_text(text, voice=voice)
            self._spoken_until = 0.0
            try:
                self.hear(understood, patience=6.0)
            except AssertionError:
                if self.program.poll() is not None:
                    raise
                continue
            return
        raise AssertionError(f"{text!r} was not understood: {self.captions[-12:]}")


@pytest.fixture(scope="module")
def trained(tmp_path_factory: pytest.TempPathFactory) -> tuple[Session, Recording]:
    """One session, led to its end; led anew once where the machine was too busy to be heard."""
    try:
        return train(tmp_path_factory.mktemp("training"))
    except AssertionError:
        return train(tmp_path_factory.mktemp("again"))


def train(folder: Path) -> tuple[Session, Recording]:
    with VirtualRoom() as room, room.record() as heard:
        session = Session(room, folder)
        try:
            lead(session)
        finally:
            session.program.kill()
            session.program.wait()
        time.sleep(0.5)
    return session, heard


def lead(session: Session) -> None:
    session.hear("can I hear you")
    session.say("ready", "First, the cautions")
    session.hear("Will you keep to that")
    session.say("yes", "(pain|hurt) today")
    session.say("no", "Is your energy")
    session.say("yes", "Is it all there")
    session.say("no", "What is missing")
    session.say("i don't have a pipe", "Is anything else missing")
    session.say("no", "Is the floor dry")
    session.say("yes", "[Ss]ay start")
    session.say("start", "Into position")
    session.hear("[Ll]ogged")
    session.say("log eleven seconds", "It stands at 11")
    session.hear(r"Set 2 of \d+\. ")
    session.say("start", "Into position")
    time.sleep(5 + 4)
    session.say("i came off", "The clock waits")
    session.say("easier", "is the easiest there is")
    session.say("start", "Into position")
    time.sleep(5 + 3)
    session.say("pause", "Paused at")
    session.say("resume", "Into position")
    session.hear("[Ll]ogged")
    # He goes on at once, and what is said as he begins is cut off.
    session.hear("comes next")
    session.say("effort six", "Effort 6")
    session.say("finish the session", "End the session here")
    session.say("yes", "The whole session: effort")
    session.say("seven", "Effort 7")
    session.hear("It is all on record")
    session.program.wait(30)


def test_the_record_tells_what_was_done(trained: tuple[Session, Recording]) -> None:
    session, _ = trained
    with Store.open(session.record, read_only=True) as store:
        facts = store.facts(1)
    rows = sets(facts)
    assert [row.movement for row in rows] == ["line_stand", "line_stand"]
    assert SetCorrected(1, seconds=11.0) in facts
    assert (rows[0].amount, rows[1].amount) == (11, 12)
    assert rows[1].came_off == 1
    assert EffortLogged("line_stand", 6) in facts
    assert EffortLogged(None, 7) in facts
    assert any(isinstance(f, Swapped) and f.cause == "lack" for f in facts) or all(
        row.movement == "line_stand" for row in rows
    )
    assert isinstance(facts[-1], SessionEnded)
    assert facts[-1].how == "finished"


def test_the_coach_was_heard(trained: tuple[Session, Recording]) -> None:
    _, heard = trained
    sound = heard.samples.astype(np.float32) / 32768
    blocks = sound[: len(sound) // 4800 * 4800].reshape(-1, 4800)
    loud = np.sqrt(np.mean(blocks**2, axis=1)) > 0.005
    assert loud.mean() > 0.2


def test_countdown_marks_stand_on_the_second(trained: tuple[Session, Recording]) -> None:
    """The first hold ran undisturbed: three counts and the go, three counts and the end."""
    _, heard = trained
    found = onsets(heard)
    runs = [
        (a, b, c)
        for a, b, c in zip(found, found[1:], found[2:], strict=False)
        if abs(b - a - 1) < 0.05 and abs(c - b - 1) < 0.05
    ]
    assert len(runs) >= 2, f"no countdowns among {found}"
    # From the last count before the start to the first before the end: 12 s of hold, less the two.
    firsts = [run[0] for run in runs]
    assert any(abs((b - a) - 12.0) < 0.05 for a in firsts for b in firsts if b > a), firsts


def onsets(heard: Recording) -> list[float]:
    """When the count mark sounded, in seconds of the recording: matched filter and its peaks."""
    mark = earcon("count")
    assert mark.rate == heard.rate
    template = mark.samples.astype(np.float64)
    sound = heard.samples.astype(np.float64) / 32768
    return peaks(sound, template / np.linalg.norm(template), heard.rate)


def peaks(sound: NDArray[np.float64], template: NDArray[np.float64], rate: float) -> list[float]:
    size = len(sound) + len(template) - 1
    width = 1 << (size - 1).bit_length()
    spectrum = np.fft.rfft(sound, width) * np.conj(np.fft.rfft(template, width))
    match = np.fft.irfft(spectrum, width)[: len(sound)]
    summed = np.concatenate([[0.0], np.cumsum(sound**2), np.full(len(template), np.sum(sound**2))])
    energy = summed[len(template) : len(template) + len(sound)] - summed[: len(sound)]
    likeness = match / np.sqrt(np.maximum(energy, 0.0) + 1e-4)
    found: list[float] = []
    for index in np.flatnonzero(likeness > 0.7):
        at = index / rate
        if not found or at - found[-1] > 0.3:
            found.append(float(at))
        elif likeness[index] > likeness[int(found[-1] * rate)]:
            found[-1] = float(at)
    return found
