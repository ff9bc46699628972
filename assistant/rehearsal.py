"""A whole session with a simulated athlete, faster than real time, as a timed script."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from random import Random

from assistant.athletes import Answer, Reply, words_of
from assistant.runner import Recorder, Runner
from assistant.session.effects import Beep, Effect, Hush
from assistant.session.events import Event, Heard, Started
from assistant.session.facts import Fact
from assistant.session.nodes import WAITING, Node
from assistant.session.scopes import scope_of
from assistant.session.state import Setting, State, opening
from assistant.simulated import (
    Agenda,
    Happening,
    Lasts,
    SimulatedSpeech,
    Spoken,
    run_next,
    speech_seconds,
)
from intents.lines import Line
from intents.meaning import Understanding
from intents.scope import Scope

Understand = Callable[[str, Scope], Understanding]

LONGEST = 4 * 3600.0
"""No session is rehearsed longer than this, whatever the athlete does."""


@dataclass(frozen=True)
class Moment:
    """One line of the script: seconds, who (`coach`, `athlete`, `mark`), and what."""

    at: float
    who: str
    text: str


@dataclass(frozen=True)
class Rehearsed:
    """A rehearsal's script, what was said of it and how far, its last state, and everything that
    would be on record."""

    script: tuple[Moment, ...]
    speech: tuple[Spoken, ...]
    state: State
    events: tuple[Event, ...]
    facts: tuple[Fact, ...]
    ended: str | None


def rehearse(
    setting: Setting,
    athlete: Answer,
    render: Callable[[Line], str],
    understand: Understand,
    seed: int = 0,
    recorder: Recorder | None = None,
    lasts: Lasts = speech_seconds,
) -> Rehearsed:
    """Run a session from its start to its end; `lasts` tells how long a line takes to say."""
    words = words_of(setting.profile.language)
    script: list[Moment] = []
    speech: list[Spoken] = []
    events: list[Event] = []
    facts: list[Fact] = []

    def record(event: Event, new: Sequence[Fact]) -> None:
        events.append(event)
        facts.extend(new)
        if recorder is not None:
            recorder(event, new)

    def happened(effect: Effect, at: float) -> None:
        if isinstance(effect, Hush):
            # What is under way is cut off, what is queued is never said.
            speech[:] = [replace(s, ended=min(s.ended, at)) for s in speech if s.began < at]
        elif isinstance(effect, Beep) and effect.mark in ("go", "half", "end"):
            script.append(Moment(effect.due, "mark", effect.mark))

    def says(reply: Reply) -> Happening:
        def happen(at: float) -> Event:
            text = words.render(reply.line)
            script.append(Moment(at, "athlete", text))
            return heard(text, at, understand, runner.state)

        return happen

    agenda = Agenda()
    output = SimulatedSpeech(
        render,
        agenda.add,
        opening(setting).rate,
        on_say=speech.append,
        on_effect=happened,
        lasts=lasts,
    )
    runner = Runner(setting, output, record)
    random = Random(seed)
    asked_at: tuple[object, ...] | None = None
    runner.take(Started(0.0))
    while runner.ended is None and runner.state.at < LONGEST:
        turn = _turn(runner.state)
        if turn is not None and turn != asked_at:
            asked_at = turn
            for reply in athlete(runner.state, setting, random):
                agenda.add(runner.state.at + reply.after, says(reply))
        if not run_next(runner, agenda, LONGEST):
            break
    script += [Moment(spoken.began, "coach", spoken.text) for spoken in speech]
    script.sort(key=lambda moment: moment.at)
    return Rehearsed(
        tuple(script), tuple(speech), runner.state, tuple(events), tuple(facts), runner.ended
    )


def heard(text: str, at: float, understand: Understand, state: State, typed: bool = False) -> Heard:
    """The event of words said in a state's scope."""
    understood = understand(text, scope_of(state))
    return Heard(
        at=max(at, state.at),
        text=text,
        meanings=understood.meanings,
        confidence=understood.confidence,
        decision=understood.decision,
        began=at,
        typed=typed,
    )


def _turn(state: State) -> tuple[object, ...] | None:
    """Names the athlete's turn, if it is one: asked once for each time the coach fell silent."""
    if state.node is Node.WORK:
        return (state.node, state.block, state.number, state.side, state.clock.since)
    if state.node in WAITING or state.node is Node.PAUSED:
        if state.speaking:
            return None
        return (state.node, state.block, state.number, state.counter)
    return None
