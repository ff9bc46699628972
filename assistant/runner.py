"""One session at work: takes events one at a time, records them, and carries out the orders.

The order is the promise: an event is decided, then it and its facts are committed, and only then
is anything said about them. Who calls `take` (a loop on the real clock, or a rehearsal that jumps
from event to event) owns the time.
"""

from __future__ import annotations

import heapq
import logging
from collections.abc import Callable, Sequence
from typing import Protocol

from assistant.session.decide import Decision, decide
from assistant.session.effects import Effect, End, Record, StartTimer
from assistant.session.events import Event, TimerDue
from assistant.session.facts import Fact
from assistant.session.state import Setting, State, opening

log = logging.getLogger("cuewalk.session")

Recorder = Callable[[Event, Sequence[Fact]], None]
"""Puts one event and its facts on record; durable when it returns."""


class Output(Protocol):
    """Where orders other than timers and records go: voice, marks, screen, hearing."""

    def perform(self, effect: Effect, at: float) -> None: ...


class Runner:
    """The session's single writer. Not thread-safe: one thread takes all events.

    `watch` is told every state that something came of, once its orders are carried out.
    """

    def __init__(
        self,
        setting: Setting,
        output: Output,
        recorder: Recorder,
        state: State | None = None,
        watch: Callable[[State], None] = lambda state: None,
    ) -> None:
        self.setting = setting
        self.state = state if state is not None else opening(setting)
        self.output = output
        self.ended: str | None = None
        self._record = recorder
        self._watch = watch
        self._timers: list[tuple[float, int, str]] = []
        self._order = 0

    def take(self, event: Event) -> Decision:
        """One event in, everything that follows from it out."""
        decision = decide(self.setting, self.state, event)
        log.debug("%s -> %s (%s)", event, decision.state.node, decision.reason or "done")
        facts = [e.fact for e in decision.effects if isinstance(e, Record)]
        if decision.effects or decision.reason is None:
            self._record(event, facts)
        self.state = decision.state
        for effect in decision.effects:
            if isinstance(effect, StartTimer):
                self._order += 1
                heapq.heappush(self._timers, (effect.due, self._order, effect.timer))
            elif isinstance(effect, End):
                self.ended = effect.how
                self.output.perform(effect, self.state.at)
            elif not isinstance(effect, Record):
                self.output.perform(effect, self.state.at)
        self._watch(self.state)
        return decision

    def next_due(self) -> float | None:
        """When the next timer that still counts runs out."""
        current = set(self.state.timers.values())
        while self._timers and self._timers[0][2] not in current:
            heapq.heappop(self._timers)
        return self._timers[0][0] if self._timers else None

    def run_timers(self, until: float) -> None:
        """Every timer due up to `until`, each at its own moment."""
        while (due := self.next_due()) is not None and due <= until and self.ended is None:
            _, _, timer = heapq.heappop(self._timers)
            self.take(TimerDue(max(due, self.state.at), timer))
