"""Random walks through the session: whatever happens, it stays whole.

The walk takes meanings in and out of scope with odd slots, silence, noise, timers, speech that
ends or is cut, devices lost and found. Run more steps with CUEWALK_WALK_STEPS=1000000.
"""

from __future__ import annotations

import os
from random import Random
from typing import Any

import pytest

from assistant.session.amounts import unit_of
from assistant.session.decide import decide, replay
from assistant.session.effects import Record, Say, StartTimer
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
from assistant.session.facts import SessionEnded, SetLogged
from assistant.session.nodes import WAITING, Node
from assistant.session.scopes import scope_of
from assistant.session.state import State, opening
from intents.meaning import INTENT_IDS, Meaning

STEPS = int(os.environ.get("CUEWALK_WALK_STEPS", "20000"))
PARTS = ("wrist", "ankle", "knee", "neck")


def some_meaning(random: Random, state: State) -> Meaning:
    in_scope = random.random() < 0.8
    choices = sorted(scope_of(state).meanings) if in_scope else list(INTENT_IDS)
    # Endings are rare, so that walks get far.
    id = random.choice(choices)
    if id in ("unwell", "finish", "pain", "stop") and random.random() < 0.8:
        id = random.choice(choices)
    slots: dict[str, Any] = {}
    if id == "log":
        slots = random.choice(
            [{}, {"seconds": 38}, {"reps": 5}, {"left": 6, "right": 5}, {"per_side": 4},
             {"metres": 9}, {"seconds": 0}, {"seconds": 999}]
        )  # fmt: skip
    elif id == "effort":
        slots = random.choice([{}, {"rpe": 7}, {"rpe": 0}])
    elif id == "pain":
        slots = random.choice(
            [{}, {"part": random.choice(PARTS)}, {"part": "wrist", "level": 2}, {"level": 7},
             {"level": 0}]
        )  # fmt: skip
    elif id in ("lack", "have"):
        slots = random.choice([{}, {"equipment": "pipe"}, {"equipment": "bar"}])
    elif id == "more_rest":
        slots = random.choice([{}, {"seconds": 20}])
    return Meaning(id, slots)


def some_event(random: Random, state: State, due: dict[str, float]) -> Event:
    at = state.at
    kind = random.random()
    live = [(due[t], t) for t in state.timers.values()]
    if kind < 0.35 and state.speaking:
        return SpeechFinished(at + 0.5, state.speaking[0], random.random() < 0.9)
    if kind < 0.6 and live:
        moment, timer = min(live)
        return TimerDue(max(at, moment), timer)
    if kind < 0.63:
        return TimerDue(at, random.choice(list(due) or ["end#1"]))
    if kind < 0.64:
        return random.choice([AudioLost, AudioFound])(at, "microphone")
    if kind < 0.645:
        return Resumed(at, 100.0)
    if kind < 0.6455:
        return InputEnded(at)
    if kind < 0.70:
        return Heard(at + 0.2, "mumble", (), 0.2, "pass", at, random.random() < 0.5)
    meanings = tuple(some_meaning(random, state) for _ in range(random.choice((1, 1, 1, 2))))
    decision = random.choice(("act", "act", "act", "confirm"))
    return Heard(at + random.random() * 3, "words", meanings, 0.9, decision, at)


def check(before: State, state: State, event: Event, effects: tuple[Any, ...]) -> None:
    assert state.at >= before.at
    for effect in effects:
        if isinstance(effect, StartTimer):
            assert effect.due >= before.at
        if isinstance(effect, Record) and isinstance(effect.fact, SetLogged):
            fact = effect.fact
            amounts = [a for a in (fact.seconds, fact.reps, fact.metres) if a is not None]
            assert len(amounts) == 1
            if fact.source == "timer":
                # The clock never shows more than was asked for, or than time has passed.
                assert fact.seconds is not None
                assert 0 < fact.seconds <= fact.target + 0.1
                assert fact.seconds <= state.at + 0.1
    if state.node in WAITING and not state.speaking and not state.alone:
        assert "answer" in state.timers, f"nobody would notice silence at {state.node}"
    if state.node is Node.PAUSED:
        assert "leave" in state.timers
        assert state.clock.since is None, "a clock runs on in a pause"
    if state.node is Node.REST:
        assert "rest_end" in state.timers
    if state.node is Node.WORK:
        wanted = "end" if unit_of(state.current.target) == "seconds" else "answer"
        assert wanted in state.timers
        assert state.clock.since is not None
    if state.node is Node.CLOSING:
        assert state.speaking


def safety_wins(setting: Any, state: State) -> None:
    """Within one step, from anywhere."""
    if state.node is Node.ENDED:
        return
    at = state.at + 0.1
    stopped = decide(setting, state, Heard(at, "stop", (Meaning("stop"),), 1.0, "act", at)).state
    assert stopped.node in (Node.PAUSED, Node.ENDED)
    assert stopped.clock.since is None
    told = decide(setting, state, Heard(at, "dizzy", (Meaning("unwell"),), 1.0, "act", at))
    assert told.state.node is Node.CLOSING
    assert any(isinstance(e, Say) and e.line.id == "unwell.help" for e in told.effects)
    hurt = decide(setting, state, Heard(at, "ow", (Meaning("pain"),), 1.0, "act", at)).state
    assert hurt.clock.since is None
    assert hurt.node not in (Node.WORK, Node.COUNTDOWN, Node.SWITCH)


@pytest.mark.parametrize("seed", range(8))
def test_walks_stay_whole(seed: int, play_with: Any) -> None:
    random = Random(seed)
    setting = play_with(
        ("line_stand", {"seconds": 30}), ("pipe_stand", {"seconds": 35}),
        ("knee_turns", {"per_side": 5}), ("side_walk", {"seconds": 40, "sets": 1}),
        ("pipe_walk", {"seconds": 45, "sets": 3}),
    ).setting  # fmt: skip
    steps = 0
    while steps < STEPS // 8:
        state, events, due = opening(setting), [], {}
        event: Event = Started(0.0)
        logged = 0
        for _ in range(600):
            decision = decide(setting, state, event)
            events.append(event)
            check(state, decision.state, event, decision.effects)
            due |= {e.timer: e.due for e in decision.effects if isinstance(e, StartTimer)}
            facts = [e.fact for e in decision.effects if isinstance(e, Record)]
            logged += sum(isinstance(f, SetLogged) for f in facts)
            state = decision.state
            steps += 1
            if steps % 7 == 0:
                safety_wins(setting, state)
            if state.node is Node.ENDED:
                break
            event = some_event(random, state, due)
        assert len(state.sets) == logged, "every set of the state is on record, and no other"
        if state.node is Node.ENDED:
            assert state.ending is not None
        assert replay(setting, events) == state


def test_a_session_left_alone_always_ends(play_with: Any) -> None:
    """From any state, silence leads to an end that is on record."""
    random = Random(99)
    setting = play_with(("pipe_stand", {"seconds": 30}), ("knee_turns", {"per_side": 5})).setting
    for _ in range(60):
        state, due = opening(setting), {}
        event: Event = Started(0.0)
        ended: list[SessionEnded] = []

        def go(event: Event) -> None:
            nonlocal state
            decision = decide(setting, state, event)
            due.update(  # noqa: B023
                {e.timer: e.due for e in decision.effects if isinstance(e, StartTimer)}
            )
            ended.extend(  # noqa: B023
                e.fact
                for e in decision.effects
                if isinstance(e, Record) and isinstance(e.fact, SessionEnded)
            )
            state = decision.state

        for _ in range(random.randrange(1, 120)):
            go(event)
            if state.node is Node.ENDED:
                break
            event = some_event(random, state, due)
        for _ in range(3000):
            if state.node is Node.ENDED:
                break
            if state.speaking:
                go(SpeechFinished(state.at + 1, state.speaking[0], True))
                continue
            live = [(due[t], t) for t in state.timers.values()]
            assert live, f"nothing will ever happen again at {state.node}"
            moment, timer = min(live)
            go(TimerDue(max(moment, state.at), timer))
        assert state.node is Node.ENDED
        assert len(ended) == 1
