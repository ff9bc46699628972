"""A session on a clock: a computer that sleeps, or a program that stands still, pauses it."""

from __future__ import annotations

import queue
from dataclasses import dataclass

import pytest

from assistant.clock import SessionClock
from assistant.loop import LONGEST_WAIT, SLEPT, Loop
from assistant.runner import Runner
from assistant.session.effects import Effect, Say
from assistant.session.events import AudioLost, Event, Heard, SpeechFinished, Started
from assistant.session.facts import SetLogged
from assistant.session.nodes import Node
from assistant.simulated import Agenda
from intents.meaning import Meaning
from tests.assistant.session.conftest import block, small_setting


@dataclass
class Computer:
    """Its steady clock and the wall's, moved by hand."""

    steady: float = 100.0
    wall: float = 1_000_000.0

    def pass_(self, seconds: float) -> None:
        self.steady += seconds
        self.wall += seconds


class Quiet:
    """Says everything at once."""

    def __init__(self) -> None:
        self.loop: Loop | None = None
        self.said: list[str] = []

    def perform(self, effect: Effect, at: float) -> None:
        if isinstance(effect, Say) and self.loop is not None:
            self.said.append(effect.line.id)
            tag = effect.tag
            self.loop.post(lambda at: SpeechFinished(at, tag, True))


class Inbox:
    """Hands out what was posted; where nothing was, time passes as the test wants it to."""

    def __init__(self, computer: Computer) -> None:
        self.computer = computer
        self.posted: list[object] = []
        self.asleep: float | None = None
        self.stopped = False
        """The steady clock stops in sleep, as Linux's does; that of others runs on."""

    def put(self, item: object) -> None:
        self.posted.append(item)

    def get_nowait(self) -> object:
        return self.get(0.0)

    def get(self, timeout: float) -> object:
        if self.posted:
            return self.posted.pop(0)
        if self.asleep is not None:
            asleep, self.asleep = self.asleep, None
            self.computer.wall += asleep
            if not self.stopped:
                self.computer.steady += asleep
        self.computer.pass_(timeout)
        raise queue.Empty


@dataclass
class Room:
    computer: Computer
    inbox: Inbox
    loop: Loop
    output: Quiet
    events: list[Event]
    facts: list[object]

    def until(self, seconds: float) -> None:
        while self.loop.clock.now() < seconds and self.loop.runner.ended is None:
            self.loop.step()


@pytest.fixture
def room() -> Room:
    """Ten seconds into a hold of thirty."""
    computer = Computer()
    clock = SessionClock(steady=lambda: computer.steady, wall=lambda: computer.wall)
    output, events, facts = Quiet(), list[Event](), list[object]()

    def record(event: Event, new: object) -> None:
        events.append(event)
        facts.extend(new)  # type: ignore[call-overload]

    runner = Runner(
        small_setting(block("line_stand", seconds=30), first_time=False), output, record
    )
    loop = Loop(runner, clock, Agenda())
    inbox = Inbox(computer)
    loop._inbox = inbox  # type: ignore[assignment]
    output.loop = loop
    made = Room(computer, inbox, loop, output, events, facts)
    runner.take(Started(0.0))
    for word in ("no", "yes", "yes", "start"):
        while inbox.posted:
            loop.step()
        runner.take(Heard(clock.now(), word, (Meaning(word),), 1.0, "act", clock.now()))
    made.until(clock.now() + 15.0)
    assert runner.state.node is Node.WORK
    assert runner.state.clock.seconds(clock.now()) == pytest.approx(10, abs=1.1)
    return made


@pytest.mark.parametrize("stopped", [True, False], ids=["steady clock stops", "runs on"])
@pytest.mark.parametrize("asleep", [SLEPT + 1, 20.0, 3600.0, 8 * 3600.0])
def test_sleep_pauses_a_hold_at_what_was_seen_of_it(
    room: Room, asleep: float, stopped: bool
) -> None:
    state = room.loop.runner.state
    before = state.clock.seconds(room.loop.clock.now())
    room.inbox.asleep, room.inbox.stopped = asleep, stopped
    room.until(room.loop.clock.now() + LONGEST_WAIT + 0.5)
    state = room.loop.runner.state
    assert state.node is Node.PAUSED
    (lost,) = [e for e in room.events if isinstance(e, AudioLost)]
    assert lost.device == "computer"
    assert before - 0.01 <= state.clock.kept <= before + LONGEST_WAIT + 0.01
    assert not [f for f in room.facts if isinstance(f, SetLogged)], "time asleep was logged"
    assert room.output.said[-2:] == ["lost.computer", "paused.in_hold"]
    # And it goes on to its end from there, logged as what it was asked for.
    now = room.loop.clock.now()
    room.loop.runner.take(Heard(now, "resume", (Meaning("resume"),), 1.0, "act", now))
    room.until(now + 5 + 30)
    (logged,) = [f for f in room.facts if isinstance(f, SetLogged)]
    assert logged.seconds == 30


@pytest.mark.parametrize("asleep", [0.5, SLEPT - 1])
def test_a_short_stall_is_no_sleep(room: Room, asleep: float) -> None:
    room.inbox.asleep, room.inbox.stopped = asleep, False
    room.until(room.loop.clock.now() + 6)
    assert not [e for e in room.events if isinstance(e, AudioLost)]


def test_a_wall_clock_set_back_is_no_sleep(room: Room) -> None:
    room.computer.wall -= 7200
    room.until(room.loop.clock.now() + 5)
    assert not [e for e in room.events if isinstance(e, AudioLost)]
