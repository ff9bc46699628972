"""Which meanings, and which bare answers, are in scope at each node."""

from __future__ import annotations

from functools import cache

from assistant.session.amounts import Unit, unit_of
from assistant.session.nodes import AT_A_BLOCK, Node
from assistant.session.state import State
from assistant.session.table import MEANINGS
from intents.scope import Bare, Scope

BARE: dict[Node, frozenset[Bare]] = {
    Node.PAIN: frozenset({"level", "part"}),
    Node.PAIN_PART: frozenset({"part", "level"}),
    Node.PAIN_LEVEL: frozenset({"level"}),
    Node.PAIN_MORE: frozenset({"part", "level"}),
    Node.EQUIPMENT: frozenset({"equipment"}),
    Node.MISSING: frozenset({"equipment"}),
    Node.EFFORT: frozenset({"rpe"}),
    Node.HURT_PART: frozenset({"part"}),
    Node.HURT_LEVEL: frozenset({"level"}),
    Node.SESSION_EFFORT: frozenset({"rpe"}),
}


@cache
def scope_at(node: Node, unit: Unit = "seconds") -> Scope:
    """The scope of a node; `unit` is what an amount without a unit counts there."""
    meanings = set(MEANINGS[node])
    if node is Node.CONFIRM:
        meanings.add("yes")
    return Scope(node.value, frozenset(meanings), BARE.get(node, frozenset()), unit)


def scope_of(state: State) -> Scope:
    unit: Unit = "seconds"
    if state.node in AT_A_BLOCK or state.node is Node.PAUSED:
        unit = unit_of(state.current.target)
    return scope_at(state.node, unit)
