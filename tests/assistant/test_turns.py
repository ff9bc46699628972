"""Whose turn it is: the ear, the loudspeaker and the session's answers, put together."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
from numpy.typing import NDArray

from assistant.hearing.cut_in import PATIENCE
from assistant.hearing.listener import TimedBlock
from assistant.hearing.port import BLOCK, RATE
from assistant.speaking.interruptible import Interruptible
from assistant.speaking.port import Sound
from assistant.speaking.silent import SilentLoudspeaker
from assistant.turns import LONGEST_WAIT, Turns
from tests.assistant.hearing.test_echo import echo_of, syllables

Floats = NDArray[np.float64]

LINE = 6.0
"""Seconds of the coach's line, from 0."""


class Room:
    """A loudspeaker whose sound comes back, and somebody who speaks over it."""

    def __init__(self, voice_from: float | None, may_cut: bool = True) -> None:
        self.now = 0.0
        self.silent = SilentLoudspeaker(lambda: self.now, threaded=False)
        self.loudspeaker = Interruptible(self.silent)
        self.told: list[tuple[str, bool]] = []
        self.loudspeaker.on_finished(lambda tag, whole: self.told.append((tag, whole)))
        self.turns = Turns(self.loudspeaker, self.silent.now_saying, lambda tag: may_cut)
        self.line = syllables(LINE, 5)
        self.echo = echo_of(self.line)
        self.voice = np.zeros(round(20 * RATE))
        if voice_from is not None:
            begin = round(voice_from * RATE)
            self.voice[begin : begin + RATE] = syllables(1, 6, 1500.0)
        self.silenced: float | None = None
        self._began = 0.0
        self.heard: list[TimedBlock] = []
        self.say()

    def say(self) -> None:
        self.loudspeaker.say(Sound(self.line.astype(np.int16), RATE), "line")

    def run(self, until: float) -> None:
        self.heard += self.turns.blocks(self._microphone(until))

    def _microphone(self, until: float) -> Iterator[TimedBlock]:
        while self.now < until:
            self.silent.advance()
            spans = self.silent.now_saying(self.now)
            place = round((self.now - spans[-1].began) * RATE) if spans else len(self.line)
            # What is played is told a moment before it is heard.
            ahead = _piece(self.line, place + BLOCK) if spans else np.zeros(BLOCK)
            self.turns.played(ahead.astype(np.int16), self.now + BLOCK / RATE)
            own = _piece(self.voice, round(self.now * RATE))
            block = (_piece(self.echo, place) if spans else 0.0) + own
            if not spans and self.silenced is None:
                self.silenced = self.now
            yield block.astype(np.int16), self.now
            self.now += BLOCK / RATE


def _piece(sound: Floats, begin: int) -> Floats:
    piece = sound[max(0, begin) : begin + BLOCK]
    return np.pad(piece, (0, BLOCK - len(piece)))


def test_a_coach_alone_speaks_to_the_end() -> None:
    room = Room(voice_from=None)
    room.run(LINE + 1)
    assert room.told == [("line", True)]


def test_somebody_who_speaks_over_him_silences_him_soon() -> None:
    room = Room(voice_from=4.2)
    room.run(5.0)
    assert room.silenced is not None
    assert room.silenced - 4.2 < 0.3
    assert room.told == [], "the session is not told of a silence that may pass"


def test_nothing_meant_has_him_begin_the_line_again() -> None:
    room = Room(voice_from=4.2)
    room.run(5.0)
    room.turns.heard(meant=False, at=room.now)
    said_again = 4.2 + 1.0 + PATIENCE
    room.run(said_again + LINE - 0.5)
    assert room.told == []
    room.run(said_again + LINE + 0.5)
    assert room.told == [("line", True)]


def test_something_meant_has_the_session_decide() -> None:
    room = Room(voice_from=4.2)
    room.run(5.0)
    room.turns.heard(meant=True, at=room.now)
    room.loudspeaker.hush()
    room.turns.settled()
    assert room.told == [("line", False)]
    room.run(9.0)
    assert room.told == [("line", False)]


def test_what_the_session_does_not_hush_goes_on() -> None:
    room = Room(voice_from=4.2)
    room.run(5.5)
    room.turns.heard(meant=True, at=room.now)
    room.turns.settled()
    room.run(5.5 + LINE + 0.5)
    assert room.told == [("line", True)]


def test_a_line_that_must_be_heard_is_said_to_its_end() -> None:
    room = Room(voice_from=4.2, may_cut=False)
    room.run(LINE + 0.5)
    assert room.told == [("line", True)]


@pytest.mark.parametrize("voice_from", [None, 4.2])
def test_every_block_is_passed_on_once(voice_from: float | None) -> None:
    room = Room(voice_from)
    room.run(10.0)
    times = np.array([at for _, at in room.heard])
    assert np.allclose(np.diff(times), BLOCK / RATE)


class Quiet(Room):
    """Nobody has said anything yet."""

    def __init__(self) -> None:
        super().__init__(voice_from=None)
        self.loudspeaker.hush()
        self.run(0.5)
        self.told.clear()


def test_the_coach_begins_nothing_while_somebody_speaks() -> None:
    room = Quiet()
    room.turns.taken(room.now)
    room.say()
    room.run(2.0)
    assert room.silent.now_saying(room.now) == []
    room.turns.left()
    room.run(2.1)
    assert len(room.silent.now_saying(room.now)) == 1


def test_he_does_not_wait_for_ever_even_if_nothing_is_heard_any_more() -> None:
    room = Quiet()
    room.turns.taken(room.now)
    room.say()
    first = room.now
    room.run(1.5)
    room.turns.taken(room.now)
    room.turns.waited(first + LONGEST_WAIT)
    assert room.loudspeaker.waiting, "somebody has begun anew"
    room.turns.waited(room.now + LONGEST_WAIT)
    room.run(1.6)
    assert len(room.silent.now_saying(room.now)) == 1


def test_the_end_of_what_silenced_him_is_not_his_turn_yet() -> None:
    room = Room(voice_from=4.2)
    room.run(4.4)
    room.turns.taken(room.now)
    room.run(5.4)
    room.turns.heard(meant=False, at=room.now)
    room.turns.left()
    room.run(5.6)
    assert room.silent.now_saying(room.now) == [], "he waits whether it is said again"
