"""Simulated athletes of different character, for rehearsals and tests.

An athlete answers in words, which go through the same understanding as real ones: a rehearsal
tests the phrases as well as the dialogue. The same seed gives the same session.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from random import Random

from assistant.session.amounts import unit_of
from assistant.session.nodes import Node
from assistant.session.state import Setting, State
from catalogue.model import Phase


@dataclass(frozen=True)
class Reply:
    """What an athlete says, `after` seconds from the moment it is their turn."""

    after: float
    text: str


Answer = Callable[[State, Setting, Random], list[Reply]]

PLAIN: dict[Node, str] = {
    Node.CAUTIONS: "yes",
    Node.PAIN: "no",
    Node.PAIN_PART: "my wrist",
    Node.PAIN_LEVEL: "two",
    Node.PAIN_MORE: "no",
    Node.ENERGY: "yes",
    Node.EQUIPMENT: "yes",
    Node.MISSING: "no",
    Node.AREA: "yes",
    Node.SAFEGUARD: "yes",
    Node.READY: "start",
    Node.OFF: "start",
    Node.EFFORT: "effort six",
    Node.STAND_IN: "no",
    Node.PAUSED: "resume",
    Node.CONFIRM: "yes",
    Node.CONFIRM_FINISH: "no",
    Node.HURT_PART: "my wrist",
    Node.HURT_LEVEL: "two",
    Node.HURT_CHOICE: "yes",
    Node.SESSION_EFFORT: "seven",
}


def steady(state: State, setting: Setting, random: Random) -> list[Reply]:
    """Does what is asked, answers soon."""
    if state.node is Node.WORK:
        if unit_of(state.current.target) == "seconds":
            return []
        return [Reply(random.uniform(15, 30), "done")]
    text = PLAIN.get(state.node)
    if text is None:
        return []
    if state.node in (Node.EFFORT, Node.SESSION_EFFORT):
        text = f"effort {random.choice(('five', 'six', 'seven'))}"
    return [Reply(random.uniform(0.8, 2.5), text)]


def refused(state: State) -> bool:
    """Whether the coach has just said that there is nothing easier."""
    return any(line.id.startswith("reason.nothing_easier") for line in state.last_said)


def careful(state: State, setting: Setting, random: Random) -> list[Reply]:
    """Asks about safety, takes the easier version and more rest."""
    main = state.current.phase is Phase.MAIN
    if state.node is Node.READY and main and state.number == 1:
        if state.current == state.origin[state.block] and not refused(state):
            return [Reply(1.5, "easier")]
        return [Reply(1.0, "safety"), Reply(14.0, "start")]
    return steady(state, setting, random)


def falls(state: State, setting: Setting, random: Random) -> list[Reply]:
    """Comes off in most holds, sometimes twice, and takes the easier version when offered."""
    if state.node is Node.WORK and unit_of(state.current.target) == "seconds":
        if state.current.phase is Phase.MAIN and random.random() < 0.7:
            return [Reply(random.uniform(4, 20), "I came off")]
        return []
    if state.node is Node.OFF and state.came_off_in_block >= 2 and not refused(state):
        return [Reply(1.5, "easier")]
    return steady(state, setting, random)


def empty_handed(state: State, setting: Setting, random: Random) -> list[Reply]:
    """Has none of the equipment, and says so when the movement comes."""
    if state.node is Node.EQUIPMENT:
        return [Reply(1.0, "yes")]
    if state.node is Node.READY:
        movement = setting.catalogue.movements[state.current.movement]
        missing = [e for e in movement.equipment if e in state.conditions.equipment]
        if missing and not state.current.stand_in:
            name = setting.catalogue.equipment[missing[0]].name
            return [Reply(1.5, f"I don't have a {name}")]
    return steady(state, setting, random)


def mumbles(state: State, setting: Setting, random: Random) -> list[Reply]:
    """Is not understood at first, and sometimes says nothing."""
    replies = steady(state, setting, random)
    if not replies or state.node is Node.WORK:
        return replies
    chance = random.random()
    if chance < 0.25 and state.misses == 0:
        return [Reply(1.0, "mumble mumble")]
    if chance < 0.4 and state.silences == 0:
        return []
    return replies


def gives_up(state: State, setting: Setting, random: Random) -> list[Reply]:
    """Gets a pain in the wrist in the third movement, goes on without it, then finishes early."""
    if state.node is Node.WORK and state.block == 2 and not state.pain:
        return [Reply(6.0, "my wrist hurts")]
    if state.node is Node.READY and state.block >= 5:
        return [Reply(1.0, "finish the session")]
    if state.node is Node.CONFIRM_FINISH:
        return [Reply(1.0, "yes")]
    return steady(state, setting, random)


ATHLETES: dict[str, Answer] = {
    "steady": steady,
    "careful": careful,
    "falls": falls,
    "empty-handed": empty_handed,
    "mumbles": mumbles,
    "gives-up": gives_up,
}
