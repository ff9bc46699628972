"""Walks through the session at random, and what has to hold at every step of them.

Meanings in and out of scope with odd slots, silence, noise, timers on time and late, speech that
ends or is cut, devices lost and found, the program started again. Every walk has a plan of its own.
"""

from __future__ import annotations

import traceback
from collections.abc import Mapping
from dataclasses import dataclass, field
from random import Random
from typing import Any

import pytest

from assistant.session.amounts import sets_of, unit_of
from assistant.session.decide import Decision, decide, replay
from assistant.session.effects import Say, StartTimer
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
from assistant.session.facts import Fact, SessionEnded
from assistant.session.nodes import WAITING, Node
from assistant.session.scopes import scope_of
from assistant.session.state import Setting, State, opening
from catalogue.plan import Block
from catalogue.safeguards import gravest
from intents.meaning import INTENT_IDS, Meaning
from tests.assistant.session.account import Account, facts_of
from tests.assistant.session.conftest import block, small_setting

LONGEST = 600
"""Steps of one walk: sessions end in fewer, or go round in circles."""

PARTS = ("wrist", "ankle", "knee", "neck")

SLOTS: dict[str, tuple[dict[str, Any], ...]] = {
    "log": ({}, {"seconds": 38}, {"reps": 5}, {"left": 6, "right": 5}, {"per_side": 4},
            {"metres": 9}, {"seconds": 0}, {"seconds": 999}, {"left": 7}, {"right": 3}),
    "effort": ({}, {"rpe": 7}, {"rpe": 0}),
    "pain": ({}, *({"part": part} for part in PARTS), {"part": "wrist", "level": 2}, {"level": 7},
             {"level": 0}, {"level": 3}),
    "lack": ({}, {"equipment": "pipe"}, {"equipment": "bar"}),
    "have": ({}, {"equipment": "pipe"}, {"equipment": "bar"}),
    "more_rest": ({}, {"seconds": 20}),
}  # fmt: skip

RARE = frozenset({"unwell", "finish", "pain", "stop"})
"""What ends a session is said seldom, so that walks get far."""


RUNS_BY_ITSELF = frozenset({Node.COUNTDOWN, Node.WORK, Node.SWITCH, Node.REST})


RUNS_BY_ITSELF = frozenset({Node.COUNTDOWN, Node.WORK, Node.SWITCH, Node.REST})


@dataclass
class Seen:
    """What a run of walks came through; `controls` are the states told apart by what acts."""

    steps: int = 0
    walks: int = 0
    ended: int = 0
    sets: int = 0
    looked_round: int = 0
    left_alone: int = 0
    controls: set[tuple[object, ...]] = field(default_factory=set)


def some_setting(random: Random) -> Setting:
    """A plan of one to five blocks of every kind, for an athlete who has heard more or less."""
    kinds: tuple[tuple[str, dict[str, int]], ...] = (
        ("line_stand", {"seconds": random.choice((20, 30))}),
        ("pipe_stand", {"seconds": random.choice((10, 35))}),
        ("knee_turns", {"per_side": 5}),
        ("knee_turns", {"reps": 8}),
        ("side_walk", {"seconds": 40}),
        ("pipe_walk", {"seconds": 45}),
        ("pipe_walk", {"metres": 9}),
        ("feet_up", {"seconds": 30}),
        ("bar_hang", {"seconds": 20}),
    )
    blocks: list[Block] = []
    for _ in range(random.randint(1, 5)):
        id, target = random.choice(kinds)
        sets = random.choice((1, 2, 3))
        blocks.append(block(id, **target, sets=sets, rest=random.choice((0, 3, 30))))
    heard = frozenset({"pipe_stand", "pipe_walk"}) if random.random() < 0.5 else frozenset()
    return small_setting(
        *blocks,
        cautions_heard=heard,
        first_time=random.random() < 0.5,
        accepted=random.random() < 0.7,
        returning=random.random() < 0.1,
        day=740000,
    )


def some_meaning(random: Random, state: State) -> Meaning:
    in_scope = random.random() < 0.8
    choices = sorted(scope_of(state).meanings) if in_scope else list(INTENT_IDS)
    id = random.choice(choices)
    if id in RARE and random.random() < 0.8:
        id = random.choice(choices)
    return Meaning(id, random.choice(SLOTS.get(id, ({},))))


def helpful_event(state: State, due: Mapping[str, float]) -> Event:
    """What leads on: the coach finishes, timers run out on time, questions are answered."""
    live = [(due[t], t) for t in state.timers.values()]
    if state.speaking:
        return SpeechFinished(state.at + 0.5, state.speaking[0], True)
    if live and state.node in RUNS_BY_ITSELF:
        moment, timer = min(live)
        return TimerDue(max(state.at, moment), timer)
    scope = scope_of(state).meanings
    choices = ("no",) if state.node is Node.PAIN else ("start", "resume", "effort", "yes", "no")
    id = next((id for id in choices if id in scope), "done")
    slots = {"rpe": 6} if id == "effort" else {}
    return Heard(state.at + 1, id, (Meaning(id, slots),), 0.9, "act", state.at)


def some_event(random: Random, state: State, due: Mapping[str, float]) -> Event:
    """What may happen next; `due` tells when each timer ever started runs out."""
    at = state.at
    kind = random.random()
    live = [(due[t], t) for t in state.timers.values()]
    if kind < 0.35 and state.speaking:
        return SpeechFinished(at + 0.5, state.speaking[0], random.random() < 0.9)
    if kind < 0.6 and live:
        moment, timer = min(live)
        return TimerDue(max(at, moment), timer)
    if kind < 0.63:
        stale = sorted(due.keys() - set(state.timers.values()))
        return TimerDue(at, random.choice(stale or ["end#1"]))
    if kind < 0.64:
        device = random.choice(("microphone", "loudspeaker", "computer"))
        return AudioFound(at, device) if random.random() < 0.5 else AudioLost(at, device)
    if kind < 0.645:
        return Resumed(at, 100.0)
    if kind < 0.6455:
        return InputEnded(at)
    if kind < 0.70:
        return Heard(at + 0.2, "mumble", (), 0.2, "pass", at, random.random() < 0.5)
    meanings = tuple(some_meaning(random, state) for _ in range(random.choice((1, 1, 1, 2))))
    decision = random.choice(("act", "act", "act", "confirm"))
    return Heard(at + random.random() * 3, "words", meanings, 0.9, decision, at)


def walk(random: Random, seen: Seen) -> None:
    """One walk from the start, every step checked; raises AssertionError with the way there."""
    setting = some_setting(random)
    state, due = opening(setting), dict[str, float]()
    events: list[Event] = [Started(0.0)]
    account = Account()
    seen.walks += 1
    helpful = random.choice((0.0, 0.3, 0.6, 0.8, 0.9))
    try:
        while len(events) <= LONGEST and state.node is not Node.ENDED:
            before = state
            decision = decide(setting, before, events[-1])
            state = decision.state
            due |= {e.timer: e.due for e in decision.effects if isinstance(e, StartTimer)}
            seen.steps += 1
            whole(before, decision)
            nothing_unheard(setting, state)
            account.take(before, events[-1], decision)
            look_round(setting, state, due, seen)
            if random.random() < helpful:
                events.append(helpful_event(state, due))
            else:
                events.append(some_event(random, state, due))
        account.end(state)
        if seen.walks % 10 == 0:
            assert replay(setting, events[:-1]) == state
    except Exception as error:
        last = "\n  ".join(map(str, events[-60:]))
        raise AssertionError(f"{broken(error)}\nat {state.node}, after\n  {last}") from error
    seen.ended += state.node is Node.ENDED
    seen.sets += len(account.logged)


def look_round(setting: Setting, state: State, due: Mapping[str, float], seen: Seen) -> None:
    """Try the ways out of a state of a kind not yet seen, and of every 25th of the others."""
    control = control_of(state)
    new = control not in seen.controls
    seen.controls.add(control)
    if new or seen.steps % 25 == 0:
        seen.looked_round += 1
        safety_wins(setting, state)
        pauses_and_goes_on(setting, state)
        finishes(setting, state)
    if new and len(seen.controls) % 10 == 0:
        seen.left_alone += 1
        ends_when_left_alone(setting, state, due)


def control_of(state: State) -> tuple[object, ...]:
    """What decides where a state can go, without its times and amounts."""
    return (
        state.node, state.back, state.asked_from, tuple(m.id for m in state.asked),
        unit_of(state.current.target), state.side, state.number >= sets_of(state.current),
        state.block + 1 >= len(state.blocks), state.lacking, state.clock.kept >= 1,
        frozenset(state.timers), bool(state.speaking), state.caution_tag is None,
        state.start_after_caution, state.alone, state.ending, bool(state.sets),
        bool(state.undoable), frozenset(state.conditions.hurting), state.part,
        min(state.silences, 3), min(state.misses, 2),
    )  # fmt: skip


def whole(before: State, decision: Decision) -> None:
    """What holds at every step: somebody notices silence, and no clock runs unseen."""
    state = decision.state
    assert state.at >= before.at
    assert all(e.due >= before.at for e in decision.effects if isinstance(e, StartTimer))
    if state.node in WAITING and not state.speaking and not state.alone:
        assert "answer" in state.timers, "nobody would notice silence"
    if state.node is Node.PAUSED:
        assert "leave" in state.timers
    if state.node is Node.REST:
        assert "rest_end" in state.timers
    if state.node is Node.WORK:
        wanted = "end" if unit_of(state.current.target) == "seconds" else "answer"
        assert wanted in state.timers
    assert (state.clock.since is not None) == (state.node is Node.WORK), "a clock runs unseen"
    if state.node is Node.CLOSING:
        assert state.speaking


def nothing_unheard(setting: Setting, state: State) -> None:
    """No work before its cautions were heard and accepted, and its safeguard is there."""
    if state.node not in (Node.COUNTDOWN, Node.WORK):
        return
    movement = setting.catalogue.movements[state.current.movement]
    assert state.accepted
    assert not movement.safety or movement.id in state.cautions
    hazard = gravest(movement.hazards)
    if hazard is not None:
        on = (*movement.equipment, state.current.stand_in or "")
        assert (hazard.value, *on) in state.safeguards


def says(setting: Setting, state: State, id: str) -> Decision:
    at = state.at + 0.1
    return decide(setting, state, Heard(at, id, (Meaning(id),), 1.0, "act", at))


def safety_wins(setting: Setting, state: State) -> None:
    """Within one step, from anywhere."""
    if state.node is Node.ENDED:
        return
    stopped = says(setting, state, "stop").state
    assert stopped.node in (Node.PAUSED, Node.ENDED)
    assert stopped.clock.since is None
    unwell = says(setting, state, "unwell")
    assert unwell.state.node is Node.CLOSING
    assert any(isinstance(e, Say) and e.line.id == "unwell.help" for e in unwell.effects)
    hurt = says(setting, state, "pain").state
    assert hurt.clock.since is None
    assert hurt.node not in (Node.WORK, Node.COUNTDOWN, Node.SWITCH)


def pauses_and_goes_on(setting: Setting, state: State) -> None:
    """A pause is one word away, and so is the way back."""
    if state.node in (Node.CLOSING, Node.ENDED):
        return
    paused = says(setting, state, "pause").state
    assert paused.node is Node.PAUSED
    assert paused.clock.since is None
    assert paused.clock.kept == pytest.approx(state.clock.seconds(paused.at))
    resumed = says(setting, paused, "resume").state
    assert resumed.node not in (Node.PAUSED, Node.ENDED)


def finishes(setting: Setting, state: State) -> None:
    """ "Finish", its question and the last question: then the summary, and the end on record."""
    ends: list[Fact] = []
    for id in ("finish", "yes", "finish", "finish"):
        if state.node in (Node.CLOSING, Node.ENDED):
            break
        decision = says(setting, state, id)
        state = decision.state
        ends += [f for f in facts_of(decision) if isinstance(f, SessionEnded)]
        assert len(ends) == (state.node is Node.CLOSING)
    while state.speaking:
        spoken = SpeechFinished(state.at + 1, state.speaking[0], True)
        state = decide(setting, state, spoken).state
    assert state.node is Node.ENDED


def ends_when_left_alone(setting: Setting, state: State, due: Mapping[str, float]) -> None:
    """Silence from here on leads to an end that is on record."""
    due = dict(due)
    ending = state.ending is not None and state.node in (Node.CLOSING, Node.ENDED)
    for _ in range(3000):
        if state.node is Node.ENDED:
            break
        live = [(due[t], t) for t in state.timers.values()]
        assert state.speaking or live, "nothing will ever happen again"
        event: Event
        if state.speaking:
            event = SpeechFinished(state.at + 1, state.speaking[0], True)
        else:
            moment, timer = min(live)
            event = TimerDue(max(moment, state.at), timer)
        decision = decide(setting, state, event)
        state = decision.state
        due |= {e.timer: e.due for e in decision.effects if isinstance(e, StartTimer)}
        for fact in facts_of(decision):
            assert not (ending and isinstance(fact, SessionEnded)), "ended twice"
            ending = ending or isinstance(fact, SessionEnded)
    assert state.node is Node.ENDED
    assert ending


def broken(error: Exception) -> str:
    """What did not hold: the error and its line."""
    where = traceback.extract_tb(error.__traceback__)[-1]
    return f"{where.line} ({error!r} at {where.filename}:{where.lineno})"
