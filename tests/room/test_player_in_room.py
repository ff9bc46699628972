"""The player with a real device: what the room hears of it, and when."""

import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, TypeVar

import numpy as np
import pytest

from tests.room.listening import CHUNK, listening
from tests.room.program import Program
from tests.room.virtual_room import VirtualRoom

T = TypeVar("T")

pytestmark = pytest.mark.room

EARLY = CHUNK + 0.005
"""Seconds that a recording may be early of the device's own time (see `listening`)."""


@pytest.fixture
def program(room: VirtualRoom) -> Iterator[Program]:
    made = Program(room)
    time.sleep(1.2)
    yield made
    made.order("quit")
    assert made.process.wait(10) == 0


def without_gaps(program: Program, measure: Callable[[], T]) -> T:
    """What is measured, again where the machine was too busy to play without gaps meanwhile."""
    for _ in range(3):
        before = program.order("tell")["dry"]
        measured = measure()
        if program.order("tell")["dry"] == before:
            break
    return measured


def test_speech_is_heard_soon_and_its_end_is_told_when_it_has_left(
    room: VirtualRoom, program: Program
) -> None:
    def measure() -> tuple[list[float], list[tuple[float, float]], list[Any]]:
        before = len(program.order("tell")["events"])
        ordered = []
        with listening(room) as heard:
            for number in range(5):
                ordered.append(program.order("say", seconds=0.2, tag=str(number))["at"])
                time.sleep(0.4)
        return ordered, heard.sounds(), program.order("tell")["events"][before:]

    ordered, sounds, ends = without_gaps(program, measure)
    assert len(sounds) == 5
    delays = [begin - at for at, (begin, _) in zip(ordered, sounds, strict=True)]
    # Wanted: 60 ms. The recording may be early, hence the addition.
    assert np.median(delays) + CHUNK < 0.06
    assert max(delays) < 0.1
    assert [event[2] for event in ends] == [True] * 5
    for (_, at, _), (_, end) in zip(ends, sounds, strict=True):
        assert -0.005 < at - end < 0.06


def test_marks_sound_on_the_second(room: VirtualRoom, program: Program) -> None:
    def measure() -> tuple[float, list[float]]:
        with listening(room) as heard:
            program.order("say", seconds=0.5, tag="before")
            at = program.order("marks", count=6, **{"in": 1.0})["at"]
            time.sleep(6.5)
        return at, [begin for begin, _ in heard.sounds()][1:]

    at, begins = without_gaps(program, measure)
    assert len(begins) == 6
    # Spacing: 20 ms at most is asked; the audio clock keeps it to a fraction of a millisecond.
    np.testing.assert_allclose(np.diff(begins), 1.0, atol=0.003)
    errors = np.array(begins) - at - 1.0 - np.arange(6)
    assert errors.min() > -EARLY - 0.005
    assert errors.max() < 0.02


def test_speech_ends_on_its_mark(room: VirtualRoom, program: Program) -> None:
    def measure() -> tuple[float, list[tuple[float, float]]]:
        with listening(room) as heard:
            at = program.order("say", seconds=0.7, tag="cue", **{"in": 2.0})["at"]
            program.order("mark", tag="go", **{"in": 2.2})
            time.sleep(2.7)
        return at, heard.sounds()

    at, ((begin, end), (mark, _)) = without_gaps(program, measure)
    assert end - begin == pytest.approx(0.7, abs=0.005)
    assert mark - end == pytest.approx(0.2, abs=0.005)
    assert -EARLY - 0.005 < end - at - 2.0 < 0.02
    *_, span = program.order("tell")["spans"]
    assert span[2] == pytest.approx(at + 2.0, abs=0.005)


def test_hush_is_silence_within_100_ms(room: VirtualRoom, program: Program) -> None:
    ordered = []
    with listening(room) as heard:
        for _ in range(4):
            program.order("say", seconds=5.0, tag="long")
            program.order("say", seconds=5.0, tag="queued")
            time.sleep(0.5)
            ordered.append(program.order("hush")["at"])
            time.sleep(0.3)
    for at in ordered:
        assert heard.level(at - 0.3, at) > 0.05
        assert heard.level(at + 0.1 - CHUNK, at + 0.29) < 0.0003
    events = program.order("tell")["events"]
    assert [event[::2] for event in events] == [["long", False], ["queued", False]] * 4


def test_volume_is_heard(room: VirtualRoom, program: Program) -> None:
    with listening(room) as heard:
        program.order("say", seconds=0.5, tag="loud")
        time.sleep(0.8)
        program.order("volume", to=0.3)
        program.order("say", seconds=0.5, tag="quiet")
        time.sleep(0.8)
    (loud, _), (quiet, _) = heard.sounds(above=0.005)
    ratio = heard.level(loud + 0.1, loud + 0.4) / heard.level(quiet + 0.1, quiet + 0.4)
    assert ratio == pytest.approx(0.3**-1.66, rel=0.05)


def test_what_was_played_is_given_with_its_time(room: VirtualRoom, program: Program) -> None:
    with listening(room) as heard:
        program.order("say", seconds=0.5, tag="a")
        time.sleep(0.8)
    ((begin, _),) = heard.sounds()
    (played,) = program.order("tell")["played"]
    assert -0.005 < played - begin < EARLY + 0.005


def test_a_lost_device_is_told_and_found_again_and_no_line_hangs(
    room: VirtualRoom, program: Program
) -> None:
    program.order("say", seconds=2.0, tag="broken")
    for number in range(4):
        program.order("say", seconds=1.0, tag=f"line{number}")
    time.sleep(0.5)
    lost_at = time.monotonic()
    room.stop()
    time.sleep(2.5)
    assert program.order("tell")["lost"]
    room.start()
    found_at = time.monotonic()
    time.sleep(1.5)
    with listening(room) as heard:
        time.sleep(2.5)
        at = program.order("marks", count=3, **{"in": 0.5})["at"]
        time.sleep(3.0)
    told = program.order("tell")
    assert not told["lost"]
    events = {event[0]: event[1:] for event in told["events"]}
    assert events["lost"][0] - lost_at < 1.5
    assert events["found"][0] - found_at < 1.5
    # Each line ended when it would have, and those not wholly heard say so.
    assert events["broken"][1] is False
    assert events["line0"][1] is False
    assert events["line3"][1] is True
    gaps = np.diff([events[f"line{number}"][0] for number in range(4)])
    assert gaps == pytest.approx(1.12, abs=0.15)
    # The last line is heard again, and marks are where they belong.
    speech, *marks = heard.sounds()[-4:]
    assert speech[1] - speech[0] > 0.5
    errors = [begin - at - 0.5 - number for number, (begin, _) in enumerate(marks)]
    assert -EARLY - 0.005 < min(errors) <= max(errors) < 0.02


def test_several_lines_of_real_speech_are_heard_whole(room: VirtualRoom, tmp_path: Path) -> None:
    script = (
        "import sys, time\n"
        "from assistant.speaking.player import Player\n"
        "from assistant.speaking.pyttsx3_voice import Pyttsx3Voice\n"
        "player, voice, left = Player(time.monotonic), Pyttsx3Voice(), []\n"
        "player.on_finished(lambda tag, whole: left.append(tag))\n"
        "for tag in ('Hands under the shoulders.', 'Push the floor away.'):\n"
        "    sound = voice.render(tag, 160)\n"
        "    print(sound.seconds, flush=True)\n"
        "    player.say(sound, tag)\n"
        "while len(left) < 2: time.sleep(0.01)\n"
        "player.close(); voice.close()\n"
    )
    root = str(Path(__file__).resolve().parents[2])
    with listening(room) as heard:
        ran = subprocess.run(
            [sys.executable, "-c", script],
            env={**room.env, "PYTHONPATH": root},
            capture_output=True,
            text=True,
            timeout=60,
        )
    assert ran.returncode == 0, ran.stderr
    lengths = [float(line) for line in ran.stdout.split()]
    sounds = heard.sounds(above=0.01, gap=0.1)
    (begin, _), (_, end) = sounds[0], sounds[-1]
    assert end - begin == pytest.approx(sum(lengths) + 0.12, abs=0.15)
    assert heard.level(begin, end) > 0.03
