"""A session heard from recordings: each file is the microphone for as long as it lasts."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from assistant.attention import Attention
from assistant.clock import SessionClock
from assistant.coach import Coach
from assistant.hearing.listener import blocks_of
from assistant.hearing.port import BLOCK, RATE, Recogniser, Samples, Utterance
from assistant.loop import Loop
from assistant.preparing import Prepared
from assistant.runner import Recorder, Runner
from assistant.screen.port import Screen
from assistant.script import Gone, Recording, Schedule, Script, Wait
from assistant.session.effects import Effect, Listen
from assistant.session.events import Heard
from assistant.session.scopes import scope_of
from assistant.simulated import Agenda, SimulatedSpeech, run_next
from assistant.typed import begin_event
from intents.lines import Line

Sounds = list[tuple[str, Samples] | Wait]
"""Recordings by name, and seconds of the session that pass between them."""

TAIL = 0.8
"""Seconds of silence heard after each recording, so that its last word ends."""


def train_recorded(
    prepared: Prepared,
    coach: Coach,
    recorder: Recorder,
    screen: Screen,
    recogniser: Recogniser,
    sounds: Sounds,
    speed: float | None,
) -> str:
    """Run the session over recordings, and waits between them, in order.

    None for `speed` jumps from event to event instead of keeping time.
    """
    agenda = Agenda()

    def performed(effect: Effect, at: float) -> None:
        if isinstance(effect, Listen):
            recogniser.listen_for(coach.grammar(effect.scope))

    output = SimulatedSpeech(
        coach.render,
        agenda.add,
        prepared.start.rate,
        on_say=lambda spoken: screen.coach(spoken.text),
        on_effect=performed,
    )
    runner = Runner(prepared.setting, output, recorder, prepared.state)
    # Recordings have no loudspeaker in the room, so there is no echo to gate.
    attention = Attention(coach.understander, lambda at: ())
    script = Script(coach.understand)
    for sound in sounds:
        if isinstance(sound, Wait):
            script.add(sound)
        else:
            name, samples = sound
            play = _player(samples, recogniser, attention, runner, screen, coach)
            script.add(Recording(name, play))
    script.add(Gone())
    runner.take(begin_event(prepared))
    if speed is None:
        return _jump(runner, agenda, script)
    clock = SessionClock(start=runner.state.at, speed=speed)
    loop = Loop(runner, clock, agenda)
    loop.before_wait = lambda at: (
        at if script.take_turn(runner.state, at, agenda.add) else script.waits_until(at)
    )
    return loop.run()


def _jump(runner: Runner, agenda: Agenda, script: Script) -> str:
    at = runner.state.at
    while runner.ended is None:
        if script.take_turn(runner.state, max(at, runner.state.at), agenda.add):
            continue
        waits = script.waits_until(max(at, runner.state.at))
        if not run_next(runner, agenda, waits if waits is not None else float("inf")):
            at = waits if waits is not None else at
            if waits is None:
                break
        else:
            at = max(at, runner.state.at)
    return runner.ended or "left"


def _player(
    samples: Samples,
    recogniser: Recogniser,
    attention: Attention,
    runner: Runner,
    screen: Screen,
    coach: Coach,
) -> Callable[[float, Schedule], float]:
    """What plays one recording into the recogniser, chunk by chunk, from the moment it starts."""
    whole = np.concatenate([samples, np.zeros(int(TAIL * RATE), np.int16)])

    def play(began: float, schedule: Schedule) -> float:
        for block, block_at in blocks_of(whole, began):

            def hear(at: float, block: Samples = block, block_at: float = block_at) -> None:
                for utterance in recogniser.accept(block, block_at):
                    judge(utterance, at)
                act(attention.ripe(scope_of(runner.state), max(at, runner.state.at)))

            schedule(block_at + BLOCK / RATE, hear)
        seconds = len(whole) / RATE

        def end(at: float) -> None:
            for utterance in recogniser.flush(began + seconds):
                judge(utterance, at)

        schedule(began + seconds, end)
        return seconds

    def judge(utterance: Utterance, at: float) -> None:
        act(attention.judge(utterance, scope_of(runner.state), max(at, runner.state.at)))

    def act(event: Heard | None) -> None:
        if event is not None and runner.ended is None:
            screen.athlete(event.text or coach.render(Line("note.unnamed_sound")))
            runner.take(event)

    return play
