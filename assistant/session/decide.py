"""The session: `decide(setting, state, event) -> Decision`, a pure and total function.

Events are facts with a time, effects are orders without answers, and every answer comes back as an
event. Nothing here reads a clock, a file or a random number, so the same events always lead to the
same state: the record of a session is the list of its events. An event that does not fit returns
the same state with a reason.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from assistant.session import cautions, checkin, closing, questions, rest, trouble
from assistant.session.effects import Effect, Listen
from assistant.session.events import (
    AudioFound,
    AudioLost,
    Event,
    Heard,
    InputEnded,
    Resumed,
    SpeechFinished,
    Started,
    TimerDue,
)
from assistant.session.facts import CautionsHeard
from assistant.session.nodes import Node
from assistant.session.scopes import scope_of
from assistant.session.state import Setting, State, opening
from assistant.session.step import Step
from assistant.session.table import MEANINGS, SAFETY, TIMERS
from assistant.session.work import LEAD, countdown
from intents.meaning import Meaning

RULES = 4
"""Raised whenever the same events no longer lead to the same state: a session that broke off under
other rules can not be replayed, and is not taken up again."""


@dataclass(frozen=True)
class Decision:
    """The new state, the orders, and why nothing was done where nothing was."""

    state: State
    effects: tuple[Effect, ...] = ()
    reason: str | None = None


def decide(setting: Setting, state: State, event: Event) -> Decision:
    """One event taken in. Never raises for an event that does not fit."""
    if state.node is Node.ENDED:
        return Decision(state, reason="the session has ended")
    at = max(state.at, event.at)
    step = Step(setting, state.changed(at=at), at)
    reason = _take(step, event)
    _settle(step)
    if reason is not None and not step.effects:
        return Decision(step.state, reason=reason)
    step.remember_said()
    before = None if isinstance(event, Started | Resumed) else scope_of(state)
    after = scope_of(step.state)
    if after != before:
        step.effects.append(Listen(after))
    return Decision(step.state, tuple(step.effects), reason)


def replay(setting: Setting, events: Iterable[Event]) -> State:
    """The state that a list of events leads to."""
    state = opening(setting)
    for event in events:
        state = decide(setting, state, event).state
    return state


def _take(step: Step, event: Event) -> str | None:
    if isinstance(event, Heard):
        return _heard(step, event)
    if isinstance(event, TimerDue):
        return _timer(step, event)
    if isinstance(event, SpeechFinished):
        return _spoken(step, event)
    if isinstance(event, Started):
        checkin.open_session(step)
    elif isinstance(event, AudioLost):
        trouble.audio_lost(step, event.device)
    elif isinstance(event, AudioFound):
        trouble.audio_found(step, event.device)
    elif isinstance(event, Resumed):
        trouble.resumed(step, event.away)
    elif isinstance(event, InputEnded):
        trouble.input_ended(step)
    return None


def _heard(step: Step, event: Heard) -> str | None:
    safety = [m for m in event.meanings if m.id in SAFETY]
    meanings = tuple(safety[:1]) if safety else event.meanings
    if event.decision == "pass" or not meanings:
        questions.not_understood(step, event.typed)
        return "nothing that was meant for the coach"
    asks_itself = all(m.id == "finish" for m in meanings)
    if event.decision == "confirm" and not safety and not asks_itself:
        step.hush()
        questions.ask_confirm(step, meanings, event.text)
        return None
    if event.typed and step.state.node is Node.CAUTIONS:
        # Whoever types has all of them before their eyes, however far the voice is.
        cautions.heard(step)
    if step.state.node not in (Node.CLOSING,):
        step.hush()
    # "Say it again" starts from the question, not from its misses.
    step.set(silences=0)
    done = [dispatch(step, meaning) for meaning in meanings]
    return None if any(done) else "out of scope here"


def dispatch(step: Step, meaning: Meaning) -> bool:
    """Act on one meaning where the node has a handler for it."""
    if step.state.node is Node.CONFIRM and meaning.id == "yes":
        questions.confirm_yes(step, _dispatch_asked)
        return True
    if step.state.node is Node.CONFIRM and meaning.id not in MEANINGS[Node.CONFIRM]:
        # Saying the command again, clearly, answers the question too.
        step.set(node=step.state.asked_from or Node.READY, asked=(), asked_from=None)
    handler = MEANINGS[step.state.node].get(meaning.id)
    if handler is None:
        return False
    handler(step, meaning)
    return True


def _dispatch_asked(step: Step, meaning: Meaning) -> None:
    dispatch(step, meaning)


def _timer(step: Step, event: TimerDue) -> str | None:
    purpose = event.timer.partition("#")[0]
    if step.state.timers.get(purpose) != event.timer:
        return "stale timer"
    step.cancel(purpose)
    handler = TIMERS[step.state.node].get(purpose)
    if handler is None:
        return f"no use for timer {purpose!r} at {step.state.node.value!r}"
    handler(step)
    return None


def _spoken(step: Step, event: SpeechFinished) -> str | None:
    if event.tag not in step.state.speaking:
        return "speech that was already given up"
    step.set(speaking=tuple(t for t in step.state.speaking if t != event.tag))
    if event.tag == step.state.opening_tag and event.whole:
        cautions.heard(step)
    if event.tag == step.state.caution_tag and event.whole:
        step.set(caution_tag=None, cautions=step.state.cautions | {step.movement.id})
        step.record(CautionsHeard(step.movement.id))
    return None


def _settle(step: Step) -> None:
    """When nothing more is being said, what was waiting for silence goes on.

    However a step ended, a node that waits for the athlete notices silence, a rest and a pause
    have their ends, and a session whose last line was spoken ends.
    """
    node, timers = step.state.node, step.state.timers
    if node is Node.PAUSED and "leave" not in timers:
        trouble.arm_pause(step)
    elif node is Node.REST and "rest_end" not in timers:
        rest.begin_again(step)
    if step.state.node is not Node.READY and step.state.start_after_caution:
        # Something came between: only who asks for it again is counted down.
        step.set(start_after_caution=False)
    if step.state.speaking:
        return
    if step.state.node is Node.CLOSING:
        closing.closed(step)
        return
    if step.state.start_after_caution and step.state.caution_tag is None:
        step.set(start_after_caution=False)
        countdown(step, LEAD)
        return
    if "answer" not in step.state.timers:
        questions.listen_after_speech(step)
    trouble.leave_if_alone(step)
