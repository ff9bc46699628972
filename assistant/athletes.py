"""Simulated athletes of different character, for rehearsals and tests.

An athlete answers in words of the profile's language, which go through the same understanding as
real ones: a rehearsal tests the phrases as well as the dialogue. The same seed gives the same
session.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from random import Random

from assistant.errors import InputError
from assistant.language import language_text
from assistant.session.amounts import unit_of
from assistant.session.nodes import Node
from assistant.session.state import Setting, State
from catalogue.model import Phase
from intents.lines import Line, LineError, Lines


@dataclass(frozen=True)
class Reply:
    """What an athlete says, `after` seconds from the moment it is their turn."""

    after: float
    line: Line
    """One of the language's `athletes` file."""


@cache
def words_of(language: str) -> Lines:
    """What athletes say in a language. Raises InputError where it is wrong."""
    try:
        return Lines.load(language_text(language, "athletes"))
    except LineError as error:
        raise InputError(f"The athletes of language {language!r} are wrong: {error}.") from None


Answer = Callable[[State, Setting, Random], list[Reply]]

PLAIN: dict[Node, Line] = {
    Node.CAUTIONS: Line("yes"),
    Node.PAIN: Line("no"),
    Node.PAIN_PART: Line("part"),
    Node.PAIN_LEVEL: Line("level", {"level": 2}),
    Node.PAIN_MORE: Line("no"),
    Node.ENERGY: Line("yes"),
    Node.EQUIPMENT: Line("yes"),
    Node.MISSING: Line("no"),
    Node.AREA: Line("yes"),
    Node.SAFEGUARD: Line("yes"),
    Node.READY: Line("start"),
    Node.OFF: Line("start"),
    Node.EFFORT: Line("effort", {"rpe": 6}),
    Node.STAND_IN: Line("no"),
    Node.PAUSED: Line("resume"),
    Node.CONFIRM: Line("yes"),
    Node.CONFIRM_FINISH: Line("no"),
    Node.HURT_PART: Line("part"),
    Node.HURT_LEVEL: Line("level", {"level": 2}),
    Node.HURT_CHOICE: Line("yes"),
    Node.SESSION_EFFORT: Line("effort", {"rpe": 7}),
}


def steady(state: State, setting: Setting, random: Random) -> list[Reply]:
    """Does what is asked, answers soon."""
    if state.node is Node.WORK:
        if unit_of(state.current.target) == "seconds":
            return []
        return [Reply(random.uniform(15, 30), Line("done"))]
    line = PLAIN.get(state.node)
    if line is None:
        return []
    if state.node in (Node.EFFORT, Node.SESSION_EFFORT):
        line = Line("effort", {"rpe": random.choice((5, 6, 7))})
    return [Reply(random.uniform(0.8, 2.5), line)]


def refused(state: State) -> bool:
    """Whether the coach has just said that there is nothing easier."""
    return any(line.id.startswith("reason.nothing_easier") for line in state.last_said)


def careful(state: State, setting: Setting, random: Random) -> list[Reply]:
    """Takes the easier version of what is hard; asks about safety."""
    main = state.current.phase is Phase.MAIN
    if state.node is Node.READY and main and state.number == 1:
        if state.current == state.origin[state.block] and not refused(state):
            return [Reply(1.5, Line("easier"))]
        return [Reply(1.0, Line("safety")), Reply(14.0, Line("start"))]
    return steady(state, setting, random)


def falls(state: State, setting: Setting, random: Random) -> list[Reply]:
    """Comes off in most holds, then takes the easier version."""
    if state.node is Node.WORK and unit_of(state.current.target) == "seconds":
        if state.current.phase is Phase.MAIN and random.random() < 0.7:
            return [Reply(random.uniform(4, 20), Line("came_off"))]
        return []
    if state.node is Node.OFF and state.came_off_in_block >= 2 and not refused(state):
        return [Reply(1.5, Line("easier"))]
    return steady(state, setting, random)


def empty_handed(state: State, setting: Setting, random: Random) -> list[Reply]:
    """Has none of the profile's equipment, and says so."""
    if state.node is Node.EQUIPMENT:
        return [Reply(1.0, Line("yes"))]
    if state.node is Node.READY:
        movement = setting.catalogue.movements[state.current.movement]
        missing = [e for e in movement.equipment if e in state.conditions.equipment]
        if missing and not state.current.stand_in:
            name = setting.catalogue.equipment[missing[0]].name
            return [Reply(1.5, Line("lack", {"name": name}))]
    return steady(state, setting, random)


def mumbles(state: State, setting: Setting, random: Random) -> list[Reply]:
    """Is not understood at first, and sometimes says nothing."""
    replies = steady(state, setting, random)
    if not replies or state.node is Node.WORK:
        return replies
    chance = random.random()
    if chance < 0.25 and state.misses == 0:
        return [Reply(1.0, Line("mumble"))]
    if chance < 0.4 and state.silences == 0:
        return []
    return replies


def gives_up(state: State, setting: Setting, random: Random) -> list[Reply]:
    """Feels pain in the third movement, and finishes early."""
    if state.node is Node.WORK and state.block == 2 and not state.pain:
        return [Reply(6.0, Line("hurts"))]
    if state.node is Node.READY and state.block >= 5:
        return [Reply(1.0, Line("finish"))]
    if state.node is Node.CONFIRM_FINISH:
        return [Reply(1.0, Line("yes"))]
    return steady(state, setting, random)


ATHLETES: dict[str, Answer] = {
    "steady": steady,
    "careful": careful,
    "falls": falls,
    "empty-handed": empty_handed,
    "mumbles": mumbles,
    "gives-up": gives_up,
}
