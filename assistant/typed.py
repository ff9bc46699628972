"""A session typed instead of spoken: lines in, `coach:` lines out.

From a keyboard, a line acts when it is entered, also while the coach "speaks". From a pipe, lines
take turns (see assistant/script.py), and the clock stands still while the session waits for the
athlete and no line is there yet: how fast the other end writes changes nothing.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable

from assistant.clock import SessionClock
from assistant.coach import Coach
from assistant.loop import Loop
from assistant.preparing import Prepared
from assistant.record.columns import clean
from assistant.rehearsal import heard
from assistant.runner import Recorder, Runner
from assistant.screen.port import Screen
from assistant.script import Gone, Item, Script, Words, passes_by_itself, wait_of
from assistant.session.effects import Effect, Show
from assistant.session.events import Event, Resumed, Started
from assistant.session.nodes import Node
from assistant.simulated import Agenda, Happening, SimulatedSpeech

LONGEST_LINE = 1_000
"""Characters of a typed line that are read: it is shown, and goes on record."""


def train_typed(
    prepared: Prepared,
    coach: Coach,
    recorder: Recorder,
    screen: Screen,
    lines: Iterable[str],
    speed: float,
    keyboard: bool,
) -> str:
    """Run the session to its end; returns how it ended."""
    agenda = Agenda()
    output = SimulatedSpeech(
        coach.render,
        agenda.add,
        prepared.start.rate,
        takes_time=keyboard,
        on_say=lambda spoken: screen.coach(spoken.text),
        on_effect=shows_on(screen),
    )
    runner = Runner(prepared.setting, output, recorder, prepared.state, screen.see)
    clock = SessionClock(start=runner.state.at, speed=speed)
    loop = Loop(runner, clock, agenda)
    script = Script(coach.understand)

    def said(text: str) -> Happening:
        def says(at: float) -> Event:
            screen.athlete(text)
            return heard(text, at, coach.understand, runner.state, typed=True)

        return says

    def read() -> None:
        for line in screen.typed(lines):
            text = clean(line[:LONGEST_LINE])
            if not text:
                continue
            wait = wait_of(text)
            if keyboard and wait is None:
                loop.post(said(text))
            else:
                loop.post(_adds(script, wait or Words(text, said(text))))
        loop.post(_adds(script, Gone()))

    def before_wait(at: float) -> float | None:
        if script.take_turn(runner.state, at, agenda.add):
            return at
        if idle(at):
            clock.hold(runner.state.at)
            return None
        clock.go()
        return script.waits_until(at)

    def idle(at: float) -> bool:
        nothing = script.empty and script.waits_until(at) is None and not keyboard
        return nothing and not runner.state.speaking and not _runs_alone(runner)

    loop.before_wait = before_wait
    # However long the computer takes, no silence is counted in which a line is on its way.
    loop.reach = lambda now: min(now, runner.state.at) if idle(now) else now
    screen.begin(coach.lines, prepared.setting, clock)
    runner.take(begin_event(prepared))
    threading.Thread(target=read, name="typed lines", daemon=True).start()
    return loop.run()


def begin_event(prepared: Prepared) -> Event:
    """What a session begins with: new, or taken up again."""
    if prepared.state is None:
        return Started(0.0)
    return Resumed(prepared.state.at, prepared.away)


def shows_on(screen: Screen) -> Callable[[Effect, float], None]:
    """Passes the session's headlines on to a screen."""

    def performed(effect: Effect, at: float) -> None:
        if isinstance(effect, Show):
            screen.show(effect.headline, effect.until)

    return performed


def _runs_alone(runner: Runner) -> bool:
    return passes_by_itself(runner.state) or runner.state.node in (Node.CLOSING, Node.ENDED)


def _adds(script: Script, item: Item) -> Happening:
    def add(at: float) -> None:
        script.add(item)

    return add
