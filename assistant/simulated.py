"""Speech without a loudspeaker, and a session that jumps from event to event.

Rehearsals, typed sessions and sessions from recordings use the same simulated speech: a line takes
as long as its words at the voice's rate, so that the script's times are those of a real session.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable
from dataclasses import dataclass

from assistant.runner import Runner
from assistant.session.effects import Effect, Hush, Say, SetVoice
from assistant.session.events import Event, SpeechFinished
from catalogue.pace import BREATH
from catalogue.speech import seconds_to_say
from intents.lines import Line

Lasts = Callable[[str, int], float]
"""Seconds of a text at a rate in words a minute."""


def speech_seconds(text: str, rate: int) -> float:
    """How long a line takes, with the breath after it that the loudspeaker leaves."""
    return seconds_to_say(text, rate) + BREATH


@dataclass(frozen=True)
class Spoken:
    """One line as it was said: when, how long, and whether it was cut short."""

    tag: str
    text: str
    began: float
    ended: float


class SimulatedSpeech:
    """An output that says lines into the air and schedules their ends.

    `render` turns a line into text; `schedule(at, event)` hands a future event to whoever keeps
    time; `on_say` and `on_effect` see what happens. `lasts` tells how long a line takes; where
    lines are only read, `takes_time` is False and they end as they begin.
    """

    def __init__(
        self,
        render: Callable[[Line], str],
        schedule: Callable[[float, Event], None],
        rate: int,
        takes_time: bool = True,
        on_say: Callable[[Spoken], None] = lambda spoken: None,
        on_effect: Callable[[Effect, float], None] = lambda effect, at: None,
        lasts: Lasts = speech_seconds,
    ) -> None:
        self._render, self._schedule = render, schedule
        self._rate = rate
        self._takes_time = takes_time
        self._lasts = lasts
        self._on_say, self._on_effect = on_say, on_effect
        self.until = 0.0

    def perform(self, effect: Effect, at: float) -> None:
        if isinstance(effect, Say):
            text = self._render(effect.line)
            seconds = self._lasts(text, self._rate) if self._takes_time else 0.0
            began = max(at, self.until)
            if effect.ends_at is not None:
                began = max(began, effect.ends_at - seconds)
            self.until = began + seconds
            self._on_say(Spoken(effect.tag, text, began, self.until))
            self._schedule(self.until, SpeechFinished(self.until, effect.tag, True))
        elif isinstance(effect, Hush):
            self.until = at
        elif isinstance(effect, SetVoice):
            self._rate = effect.rate
        self._on_effect(effect, at)


Happening = Callable[[float], Event | None]
"""Makes an event at the moment it happens, so that words are understood in the scope of then;
None where nothing came of it."""


class Agenda:
    """What will happen, in order of time; equal times keep the order in which they came."""

    def __init__(self) -> None:
        self._heap: list[tuple[float, int, Happening]] = []
        self._order = 0

    def add(self, at: float, happening: Event | Happening) -> None:
        self._order += 1
        make = happening if callable(happening) else _always(happening)
        heapq.heappush(self._heap, (at, self._order, make))

    def next_at(self) -> float | None:
        return self._heap[0][0] if self._heap else None

    def pop(self) -> Event | None:
        at, _, make = heapq.heappop(self._heap)
        return make(at)


def _always(event: Event) -> Happening:
    return lambda at: event


def run_next(runner: Runner, agenda: Agenda, limit: float) -> bool:
    """Let the next thing happen, timer or event, if there is one up to `limit`."""
    due, at = runner.next_due(), agenda.next_at()
    moments = [m for m in (due, at) if m is not None and m <= limit]
    if not moments or runner.ended is not None:
        return False
    if due is not None and due <= min(moments):
        runner.run_timers(due)
    else:
        event = agenda.pop()
        if event is not None:
            runner.take(event)
    return True
