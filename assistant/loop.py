"""A session on a running clock: one inbox, one thread that takes events, timers on their second.

Whatever happens outside (words, speech that ended, a device that vanished) is posted from any
thread as a `Happening`, a function of the time at which it is taken; the loop stamps it, runs the
timers due before it, and hands it to the runner. Nothing else touches the session.
"""

from __future__ import annotations

import contextlib
import queue
from collections.abc import Callable

from assistant.clock import SessionClock
from assistant.runner import Runner
from assistant.session.events import AudioLost, Event
from assistant.simulated import Agenda, Happening, run_next

Posted = Happening
"""What is posted: made into an event at the moment it is taken."""

SLEPT = 5.0
"""Seconds that the computer must have slept, or the program have stood still, before the session
treats it as a pause."""

LONGEST_WAIT = 1.0
"""Wall seconds after which the loop looks round, though nothing is due."""


class Loop:
    """Drives a runner on a clock. `before_wait(at)` is called when nothing is due."""

    def __init__(self, runner: Runner, clock: SessionClock, agenda: Agenda) -> None:
        self.runner = runner
        self.clock = clock
        self.agenda = agenda
        self.before_wait: Callable[[float], float | None] = lambda at: None
        self.reach: Callable[[float], float] = lambda now: now
        """How far the session may go by now: less where it waits for what is on its way."""
        self._inbox: queue.SimpleQueue[Posted] = queue.SimpleQueue()

    def post(self, posted: Event | Posted) -> None:
        """Put something in the inbox, from any thread."""
        self._inbox.put(posted if callable(posted) else _always(posted))

    def run(self) -> str:
        """Until the session ends; returns how it ended. Errors of the record go through."""
        while self.runner.ended is None:
            self.step()
        return self.runner.ended

    def step(self) -> None:
        """Everything due by now, then one wait for what comes next."""
        self._catch_up()
        if self.runner.ended is not None:
            return
        wanted = self.before_wait(self.clock.now())
        if self.runner.ended is not None:
            return
        self._wait(wanted)

    def _wait(self, wanted: float | None) -> None:
        moments = [
            m for m in (self.runner.next_due(), self.agenda.next_at(), wanted) if m is not None
        ]
        patience = LONGEST_WAIT
        awake = self.clock.now()
        if moments:
            patience = min(patience, self.clock.wait_for(min(moments) - awake))
        posted: Posted | None = None
        with contextlib.suppress(queue.Empty):
            posted = self._inbox.get(timeout=patience) if patience > 0 else self._inbox.get_nowait()
        stood_still = self.clock.wait_for(self.clock.now() - awake) - patience
        if stood_still > SLEPT:
            self.clock.take_back(stood_still)
        if max(self.clock.slept(), stood_still) > SLEPT:
            # Nobody saw what was done meanwhile, so no clock may run on through it, and nothing
            # that fell due meanwhile may count: the pause begins when somebody was last awake.
            self._take(AudioLost(max(awake, self.runner.state.at), "computer"))
        if posted is None:
            return
        self._catch_up()
        event = posted(self._at())
        if event is not None:
            self._take(event)

    def _catch_up(self) -> None:
        now = self.clock.now()
        while run_next(self.runner, self.agenda, self.reach(now)):
            pass

    def _at(self) -> float:
        return max(self.clock.now(), self.runner.state.at)

    def _take(self, event: Event) -> None:
        if self.runner.ended is None:
            self.runner.take(event)


def _always(event: Event) -> Posted:
    return lambda at: event
