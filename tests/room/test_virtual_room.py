"""The room itself: sound goes where it should, and nothing is left behind."""

import subprocess
import time
from pathlib import Path

import numpy as np
import pytest

from tests.room.virtual_room import VirtualRoom

pytestmark = pytest.mark.room


def test_what_the_mouth_says_the_microphone_hears(room: VirtualRoom) -> None:
    with room.record("mic") as mic, room.record("room.monitor") as loudspeaker:
        room.speak_text("start the session")
    assert mic.level() > 0.02
    assert loudspeaker.level() == 0.0


def test_volume_of_the_mouth(room: VirtualRoom) -> None:
    file = room.voice_file("start the session")
    levels = []
    for volume in (1.0, 0.5):
        with room.record("mic") as mic:
            room.speak(file, volume=volume)
        loud = np.abs(mic.samples / 32768)
        levels.append(float(np.percentile(loud[loud > 0.0005], 90)))
    assert levels[1] < 0.4 * levels[0]


def test_the_loudspeaker_does_not_reach_the_microphone_unless_asked(room: VirtualRoom) -> None:
    file = room.voice_file("the coach speaks here")

    def play() -> None:
        subprocess.run(["paplay", str(file)], env=room.env, check=True)

    with room.record("mic") as without:
        play()
    with room.echo(0.5), room.record("mic") as echo, room.record() as direct:
        play()
    assert without.level() == 0.0
    assert 0.0 < echo.level() < direct.level()


def test_it_can_be_stopped_and_started_as_a_device_that_was_unplugged(room: VirtualRoom) -> None:
    room.stop()
    with pytest.raises(subprocess.CalledProcessError):
        room.pactl("info")
    room.start()
    with room.record("mic") as mic:
        room.speak_text("hello")
    assert mic.level() > 0.02


def test_two_rooms_do_not_hear_each_other(room: VirtualRoom) -> None:
    with VirtualRoom() as other, other.record("mic") as mic:
        room.speak_text("hello")
        time.sleep(0.2)
    assert mic.level() == 0.0


def test_programs_see_its_devices_only(room: VirtualRoom) -> None:
    assert room.env["PULSE_SERVER"].startswith("unix:" + str(room.folder))
    assert room.pactl("get-default-sink") == "room"
    assert room.pactl("get-default-source") == "mic"


def test_nothing_is_left_behind() -> None:
    from tests.room.virtual_room import missing

    if missing():
        pytest.skip(missing())
    with VirtualRoom() as room:
        folder, process = room.folder, room._daemon
    assert process is not None
    assert process.poll() is not None
    assert not Path(folder).exists()
