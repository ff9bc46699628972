import threading
import time
import wave
from pathlib import Path

import numpy as np
import pytest

from assistant.errors import SpeakingError
from assistant.speaking.mixer import PAUSE
from assistant.speaking.port import Loudspeaker, Sound
from assistant.speaking.silent import RATE, SilentLoudspeaker


def tone(seconds: float) -> Sound:
    return Sound(np.full(round(seconds * 8000), 9000, np.int16), 8000)


class Room:
    """A silent loudspeaker on a clock that only the test moves."""

    def __init__(self, file: Path | None = None) -> None:
        self.now = 0.0
        self.speaker = SilentLoudspeaker(lambda: self.now, threaded=False, file=file)
        self.told: list[tuple[str, bool]] = []
        self.speaker.on_finished(lambda tag, whole: self.told.append((tag, whole)))

    def at(self, now: float) -> list[tuple[str, bool]]:
        self.now = now
        self.told.clear()
        self.speaker.advance()
        return self.told


def test_is_a_loudspeaker() -> None:
    speaker: Loudspeaker = Room().speaker
    speaker.close()


def test_each_line_ends_when_it_would() -> None:
    room = Room()
    room.speaker.say(tone(2.0), "a")
    room.speaker.say(tone(1.0), "b")
    assert room.speaker.next_end() == pytest.approx(2.0)
    assert room.at(1.99) == []
    assert room.at(2.01) == [("a", True)]
    assert room.speaker.next_end() == pytest.approx(3.0 + PAUSE)
    assert room.at(3.0 + PAUSE + 0.01) == [("b", True)]
    assert room.speaker.next_end() is None


def test_a_line_that_is_to_end_on_a_mark_does() -> None:
    room = Room()
    room.speaker.say(tone(1.0), "cue", ends_at=10.0)
    assert room.speaker.next_end() == pytest.approx(10.0)
    assert room.at(9.99) == []
    assert room.at(10.01) == [("cue", True)]


def test_a_jump_of_the_clock_tells_all_that_ended_in_order() -> None:
    room = Room()
    for tag in "abc":
        room.speaker.say(tone(1.0), tag)
    assert room.at(3600.0) == [("a", True), ("b", True), ("c", True)]


def test_hush_ends_all_as_not_whole() -> None:
    room = Room()
    room.speaker.say(tone(2.0), "a")
    room.speaker.say(tone(2.0), "b")
    room.at(1.0)
    room.speaker.hush()
    assert room.at(1.1) == [("a", False), ("b", False)]


def test_orders_count_from_their_own_moment() -> None:
    room = Room()
    room.now = 5.0
    room.speaker.say(tone(1.0), "a")
    assert room.at(5.9) == []
    assert room.at(6.01) == [("a", True)]
    (span,) = room.speaker.now_saying(5.5)
    assert (span.began, span.ended) == pytest.approx((5.0, 6.0), abs=0.001)


def test_with_a_thread_it_tells_by_itself_on_a_fast_clock() -> None:
    began = time.monotonic()
    told: list[tuple[str, float]] = []
    done = threading.Event()

    def clock() -> float:
        return (time.monotonic() - began) * 20

    def finished(tag: str, whole: bool) -> None:
        told.append((tag, clock()))
        done.set()

    speaker = SilentLoudspeaker(clock)
    speaker.on_finished(finished)
    speaker.say(tone(4.0), "a")
    assert done.wait(5)
    speaker.close()
    assert told[0][0] == "a"
    # Looked at every 5 ms, which is 100 ms of this clock; a busy machine may take longer.
    assert 4.0 <= told[0][1] < 5.5


def test_a_call_back_may_give_the_next_order() -> None:
    room = Room()
    room.speaker.on_finished(
        lambda tag, whole: room.speaker.say(tone(1.0), "b") if tag == "a" else None
    )
    room.speaker.say(tone(1.0), "a")
    room.at(2.0)
    assert room.at(3.01) == [("b", True)]


def test_the_mix_is_written_with_everything_in_its_place(tmp_path: Path) -> None:
    file = tmp_path / "mix.wav"
    room = Room(file)
    room.speaker.say(tone(0.5), "a", ends_at=2.0)
    room.speaker.mark(tone(0.1), 3.0, "m")
    room.at(2.5)
    room.now = 4.0
    room.speaker.close()
    with wave.open(str(file)) as opened:
        assert (opened.getframerate(), opened.getnchannels()) == (RATE, 1)
        samples = np.frombuffer(opened.readframes(opened.getnframes()), np.int16)
    assert len(samples) == 4 * RATE
    loud = np.flatnonzero(np.abs(samples) > 4000)
    edges = loud[np.flatnonzero(np.diff(loud) > 100)], loud[np.flatnonzero(np.diff(loud) > 100) + 1]
    assert loud[0] / RATE == pytest.approx(1.5, abs=0.002)
    assert edges[0][0] / RATE == pytest.approx(2.0, abs=0.002)
    assert edges[1][0] / RATE == pytest.approx(3.0, abs=0.002)
    assert loud[-1] / RATE == pytest.approx(3.1, abs=0.002)


def test_a_file_that_can_not_be_written_is_named(tmp_path: Path) -> None:
    with pytest.raises(SpeakingError, match="missing"):
        SilentLoudspeaker(lambda: 0.0, file=tmp_path / "missing" / "mix.wav")


def test_an_hour_passes_in_a_moment() -> None:
    room = Room()
    began = time.perf_counter()
    for minute in range(60):
        room.speaker.say(tone(3.0), str(minute))
        room.at(60.0 * (minute + 1))
    # Generous: it takes some tens of milliseconds, and must not take minutes.
    assert time.perf_counter() - began < 10
