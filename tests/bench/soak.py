"""Hours of training, one session after another.

    python -m tests.bench.soak                 eight hours, as fast as they can be worked out
    python -m tests.bench.soak --room 60       so many real minutes, live in the virtual room

prints one JSON line. At speed, session, record, lines, the athlete and the mixer that plays speech
and marks are the real ones, and time, voice and ears are simulated: told are the memory after the
first session, after the first hour and at the end, how far any mark stood from where it was due,
and what was lost of marks and events. In the room the whole program runs live, and its memory is
looked at from outside (`--engine NAME` hears with another engine than the best);
`tests/bench/marks.py --minutes 60` tells of its marks.
"""

from __future__ import annotations

import argparse
import gc
import json
import tempfile
import threading
import time
import tracemalloc
from collections.abc import Sequence
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path
from random import Random

import numpy as np

from assistant.athletes import ATHLETES, words_of
from assistant.coach import Coach
from assistant.files import builtin_catalogue
from assistant.preparing import begin, new_setting
from assistant.record.store import Store
from assistant.rehearsal import heard
from assistant.runner import Runner
from assistant.session.effects import Beep, DropMarks, Effect, Hush, Say
from assistant.session.events import Event, SpeechFinished, Started
from assistant.session.facts import Fact
from assistant.session.state import Setting, State
from assistant.simulated import Agenda, run_next, speech_seconds
from assistant.speaking.port import Sound
from assistant.speaking.silent import RATE, SilentLoudspeaker
from catalogue.model import Level, Profile
from tests.assistant.commands.answering import Program, answer, home_in
from tests.bench.kills import SAID
from tests.room.virtual_room import VirtualRoom

HOUR = 3600.0
CLICK = Sound(np.array([20_000], np.int16), RATE)
"""A mark of one sample, so that its place is one frame."""

AHEAD = 0.02
"""Seconds that are mixed before they are heard, as into the buffer of a device."""


class Clicks(SilentLoudspeaker):
    """The silent loudspeaker, with the times at which clicks came out of its mixer."""

    def __init__(self, clock: list[float]) -> None:
        self.heard: list[float] = []
        super().__init__(lambda: clock[0], threaded=False)

    def _pass(self, count: int) -> None:
        out = np.zeros(count, np.float32)
        first = self._mixer.frame
        self._ended += self._mixer.fill(count, out)
        for frame in np.flatnonzero(out):
            self.heard.append(self._timeline.time_of(first + int(frame)))


class Training:
    """One session after another on one clock and one loudspeaker."""

    def __init__(self, coach: Coach) -> None:
        self.clock = [0.0]
        self.loudspeaker = Clicks(self.clock)
        self.loudspeaker.on_finished(lambda tag, whole: self._ended.append((tag, whole)))
        self.due: list[float] = []
        """When marks are due that were ordered and not taken back."""
        self.events = 0
        self._ended: list[tuple[str, bool]] = []
        self._coach = coach
        self._began = 0.0

    def perform(self, effect: Effect, at: float) -> None:
        """The output of the session: a voice of silence, and marks of one sample."""
        self._reach(at)
        if isinstance(effect, Say):
            seconds = speech_seconds(self._coach.render(effect.line), 165)
            ends_at = None if effect.ends_at is None else self._began + effect.ends_at
            silence = Sound(np.zeros(round(seconds * RATE), np.int16), RATE)
            self.loudspeaker.say(silence, effect.tag, ends_at)
        elif isinstance(effect, Beep):
            # The loudspeaker plays what is late at once.
            self.due.append(max(self._began + effect.due, self.clock[0]))
            self.loudspeaker.mark(CLICK, self._began + effect.due, effect.mark)
        elif isinstance(effect, DropMarks):
            self.due = [due for due in self.due if due <= self.clock[0]]
            self.loudspeaker.drop_marks()
        elif isinstance(effect, Hush):
            self.loudspeaker.hush()

    def session(self, setting: Setting, store: Store, now: datetime, seed: int) -> float:
        """Train one to its end; returns its seconds."""
        number = begin(store, setting, now, "0", "soak")
        self._began = self.clock[0] + 60
        random, agenda, asked = Random(seed), Agenda(), None

        def record(event: Event, facts: Sequence[Fact]) -> None:
            self.events += 1
            store.append(number, event, facts)

        runner = Runner(setting, self, record)
        athlete = ATHLETES["falls" if seed % 2 else "steady"]
        runner.take(Started(0.0))
        while runner.ended is None:
            turn = _turn(runner.state)
            if turn is not None and turn != asked:
                asked = turn
                for reply in athlete(runner.state, setting, random):
                    text = words_of("en").render(reply.line)
                    agenda.add(
                        runner.state.at + reply.after,
                        lambda at, text=text: heard(text, at, self._coach.understand, runner.state),
                    )
            # Told when it is mixed, so a little before it is heard.
            ends = self.loudspeaker.next_end()
            moments = [runner.next_due(), agenda.next_at()]
            moments += [None if ends is None else ends - self._began - AHEAD]
            at = max(min(m for m in moments if m is not None), runner.state.at)
            self._reach(at)
            while self._ended and runner.ended is None:
                tag, whole = self._ended.pop(0)
                runner.take(SpeechFinished(max(at, runner.state.at), tag, whole))
            run_next(runner, agenda, at)
        # What is still to sound sounds.
        self._reach(runner.state.at + 5)
        self._ended.clear()
        assert len(store.events(number)) > 0
        return runner.state.at

    def _reach(self, at: float) -> None:
        self.clock[0] = max(self.clock[0], self._began + at + AHEAD)
        self.loudspeaker.advance()


def _turn(state: State) -> tuple[object, ...] | None:
    """Names the athlete's turn, while the coach is silent."""
    if state.speaking:
        return None
    return (state.node, state.block, state.number, state.side, state.clock.since, state.counter)


def at_speed(hours: float) -> dict[str, object]:
    catalogue = builtin_catalogue()
    coach = Coach.of(catalogue, "en")
    training = Training(coach)
    profile = Profile(
        athlete="Robin",
        levels=dict.fromkeys(catalogue.skills, Level.INTERMEDIATE),
        equipment=tuple(catalogue.equipment),
        minutes=40,
        space=6.0,
    )
    day = datetime(2026, 1, 5, 18, 0).astimezone()
    trained, sessions, sets = 0.0, 0, 0
    memory: list[tuple[float, float, float]] = []
    tracemalloc.start()
    began = time.monotonic()
    with (
        tempfile.TemporaryDirectory() as folder,
        closing(Store.open(Path(folder) / "record.db")) as store,
    ):
        while trained < hours * HOUR:
            # The plan of one day for all, so that a session asks for as much as the one before.
            setting = new_setting(catalogue, profile, None, day)
            trained += training.session(setting, store, day + timedelta(days=sessions), sessions)
            sessions += 1
            gc.collect()
            memory.append((trained, tracemalloc.get_traced_memory()[0] / 1e6, _resident()))
        on_record = sum(len(store.events(info.id)) for info in store.sessions())
        ended = sum(info.ended is not None for info in store.sessions())
        for info in store.sessions():
            sets += sum(type(fact).__name__ == "SetLogged" for fact in store.facts(info.id))
    due, found = np.array(sorted(training.due)), np.array(training.loudspeaker.heard)
    late = np.abs(found - due) if len(found) == len(due) else np.array([np.nan])
    first = next(m for m in memory if m[0] >= min(HOUR, trained))
    last_hour = late[due > due[-1] - HOUR] if len(late) == len(due) else late
    return {
        "bench": "soak",
        "hours": round(trained / HOUR, 2),
        "sessions": sessions,
        "ended": ended,
        "sets": sets,
        "events": training.events,
        "events_lost": training.events - on_record,
        "marks": len(due),
        "marks_lost": len(due) - len(found),
        "mark_error_ms_most": round(float(np.max(late)) * 1000, 3),
        "mark_error_ms_most_in_last_hour": round(float(np.max(last_hour)) * 1000, 3),
        "traced_mb_first_session_first_hour_end": [
            round(m[1], 2) for m in (memory[0], first, memory[-1])
        ],
        "resident_mb_first_session_first_hour_end": [
            round(m[2], 1) for m in (memory[0], first, memory[-1])
        ],
        "seconds": round(time.monotonic() - began, 1),
    }


def _resident(process: str = "self") -> float:
    """Megabytes that a process has in memory."""
    for line in Path(f"/proc/{process}/status").read_text().splitlines():
        if line.startswith("VmRSS:"):
            return int(line.split()[1]) / 1024
    return float("nan")


def in_room(minutes: float, engine: str | None) -> dict[str, object]:
    """Live sessions in the virtual room, until so many minutes have passed."""
    began, memory, sessions, sets = time.monotonic(), [], 0, 0
    with VirtualRoom() as room, tempfile.TemporaryDirectory() as name:
        home = Path(name)
        words = home_in(home / "things")
        hear_with = ("--engine", engine) if engine else ()
        while time.monotonic() - began < minutes * 60:
            until = [0.0]

            def speak(said: str, until: list[float] = until) -> None:
                now = time.monotonic()
                until[0] = max(until[0], now) + speech_seconds(said, 165)
                if (word := answer(said)) is not None:
                    threading.Timer(
                        until[0] - now + 0.4, room.speak_text, [SAID[word]], {"voice": "slt"}
                    ).start()

            program = Program(home, *hear_with, *words, answer=speak, environ=room.env)
            while program.wait(10.0) is None and time.monotonic() - began < minutes * 60:
                memory.append(_resident(str(program.process_id)))
            program.kill()
            sessions += 1
        with closing(Store.open(home / "record.db", read_only=True)) as store:
            for info in store.sessions():
                sets += sum(type(fact).__name__ == "SetLogged" for fact in store.facts(info.id))
    third = max(1, len(memory) // 3)
    return {
        "bench": "soak in the room",
        "engine": engine or "best",
        "minutes": round((time.monotonic() - began) / 60, 1),
        "starts": sessions,
        "sets": sets,
        "resident_mb_most_first_third": round(max(memory[:third]), 1),
        "resident_mb_most_last_third": round(max(memory[-third:]), 1),
    }


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--hours", type=float, default=8.0)
    parser.add_argument("--room", type=float, metavar="MINUTES")
    parser.add_argument("--engine", metavar="NAME")
    wanted = parser.parse_args()
    in_time = wanted.room is None
    told = at_speed(wanted.hours) if in_time else in_room(wanted.room, wanted.engine)
    print(json.dumps(told))


if __name__ == "__main__":
    main()
