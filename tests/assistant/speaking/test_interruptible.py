"""Interrupted, going on, and what whoever ordered the lines is told."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.speaking.interruptible import DUCKED, Interruptible
from assistant.speaking.port import Sound
from assistant.speaking.silent import RATE, SilentLoudspeaker


class Bench:
    def __init__(self) -> None:
        self.now = 0.0
        self.silent = SilentLoudspeaker(lambda: self.now, threaded=False)
        self.speaker = Interruptible(self.silent)
        self.told: list[tuple[str, bool]] = []
        self.speaker.on_finished(lambda tag, whole: self.told.append((tag, whole)))

    def say(self, tag: str, ends_at: float | None = None) -> None:
        self.speaker.say(Sound(np.zeros(RATE, np.int16), RATE), tag, ends_at)

    def at(self, now: float) -> Bench:
        self.now = now
        self.silent.advance()
        return self


@pytest.fixture
def bench() -> Bench:
    return Bench()


def test_an_interrupted_line_begins_again_and_the_next_follows(bench: Bench) -> None:
    bench.say("one")
    bench.say("two")
    bench.at(0.5).speaker.silence()
    bench.at(3.0)
    assert bench.told == []
    bench.speaker.go_on()
    bench.at(3.99)
    assert bench.told == []
    bench.at(4.01)
    assert bench.told == [("one", True)]
    bench.at(5.2)
    assert bench.told == [("one", True), ("two", True)]


def test_what_is_ordered_in_the_silence_waits(bench: Bench) -> None:
    bench.say("one")
    bench.at(0.5).speaker.silence()
    bench.say("two")
    bench.at(4.0)
    assert bench.told == []
    bench.speaker.go_on()
    bench.at(7.0)
    assert bench.told == [("one", True), ("two", True)]


def test_hushed_in_the_silence_ends_everything_not_whole(bench: Bench) -> None:
    bench.say("one")
    bench.say("two")
    bench.at(0.5).speaker.silence()
    bench.at(1.0).speaker.hush()
    bench.at(1.5)
    assert bench.told == [("one", False), ("two", False)]
    bench.speaker.go_on()
    bench.say("three")
    bench.at(4.0)
    assert bench.told[2:] == [("three", True)]


def test_hushed_after_going_on_is_told_once(bench: Bench) -> None:
    bench.say("one")
    bench.at(0.5).speaker.silence()
    # Before the loudspeaker could tell of the end.
    bench.speaker.go_on()
    bench.at(0.8).speaker.hush()
    bench.at(2.0)
    assert bench.told == [("one", False)]


def test_a_line_with_a_moment_is_not_said_after_it(bench: Bench) -> None:
    bench.say("one")
    bench.say("ten seconds", ends_at=2.0)
    bench.at(0.5).speaker.silence()
    bench.at(6.0).speaker.go_on()
    assert bench.told == [("ten seconds", False)]
    bench.at(8.0)
    assert bench.told[1:] == [("one", True)]


def test_silence_without_a_line_keeps_nothing(bench: Bench) -> None:
    bench.speaker.silence()
    bench.say("one")
    bench.at(1.1)
    assert bench.told == [("one", True)]


def test_turned_down_and_up_again() -> None:
    class Volumes(SilentLoudspeaker):
        def __init__(self) -> None:
            super().__init__(lambda: 0.0, threaded=False)
            self.volumes: list[float] = []

        def set_volume(self, volume: float) -> None:
            self.volumes.append(volume)

    under = Volumes()
    speaker = Interruptible(under)
    speaker.set_volume(0.5)
    speaker.duck()
    speaker.restore()
    assert under.volumes == [0.5, 0.5 * DUCKED, 0.5]


def test_told_to_wait_it_begins_nothing_and_then_says_all(bench: Bench) -> None:
    bench.speaker.wait()
    bench.say("one")
    bench.say("two")
    bench.at(4.0).speaker.silence()
    assert bench.told == []
    bench.speaker.go_on()
    bench.at(6.3)
    assert bench.told == [("one", True), ("two", True)]
    bench.say("three")
    assert bench.at(8.0).told[2:] == [("three", True)]


def test_what_is_being_said_and_what_follows_it_does_not_wait(bench: Bench) -> None:
    bench.say("one")
    bench.at(0.5).speaker.wait()
    assert not bench.speaker.waiting
    bench.say("two")
    assert bench.at(3.0).told == [("one", True), ("two", True)]


def test_a_line_with_a_moment_does_not_wait_and_is_said_once(bench: Bench) -> None:
    bench.speaker.wait()
    bench.say("one")
    bench.say("ten seconds", ends_at=2.0)
    assert bench.at(2.1).told == [("ten seconds", True)]
    bench.speaker.go_on()
    assert bench.at(5.0).told == [("ten seconds", True), ("one", True)]


def test_hushed_while_it_waits_it_waits_no_longer(bench: Bench) -> None:
    bench.speaker.wait()
    bench.say("one")
    bench.speaker.hush()
    assert bench.told == [("one", False)]
    bench.say("two")
    assert bench.at(2.0).told == [("one", False), ("two", True)]
