"""The nodes of the session graph: where a session can be."""

from __future__ import annotations

from enum import StrEnum


class Node(StrEnum):
    """One place in a session.

    The way through: `cautions` until they are accepted, check-in (pain, energy, equipment), area
    check, then for each block `safeguard` where its work needs one, `ready`, `countdown`, `work`
    (with `switch` between sides), `rest`, `effort`; at the end `session_effort` and `closing`.
    Around it: `off` (came off in a hold), `stand_in` (is there something else?), `paused`, the two
    questions `confirm` and `confirm_finish`, and what pain opens.
    """

    CAUTIONS = "cautions"
    PAIN = "pain"
    PAIN_PART = "pain_part"
    PAIN_LEVEL = "pain_level"
    PAIN_MORE = "pain_more"
    ENERGY = "energy"
    EQUIPMENT = "equipment"
    MISSING = "missing"
    AREA = "area"
    SAFEGUARD = "safeguard"
    READY = "ready"
    COUNTDOWN = "countdown"
    WORK = "work"
    OFF = "off"
    SWITCH = "switch"
    REST = "rest"
    EFFORT = "effort"
    STAND_IN = "stand_in"
    PAUSED = "paused"
    CONFIRM = "confirm"
    CONFIRM_FINISH = "confirm_finish"
    HURT_PART = "hurt_part"
    HURT_LEVEL = "hurt_level"
    HURT_CHOICE = "hurt_choice"
    SESSION_EFFORT = "session_effort"
    CLOSING = "closing"
    ENDED = "ended"


QUESTIONS = frozenset(
    {
        Node.CAUTIONS, Node.PAIN, Node.PAIN_PART, Node.PAIN_LEVEL, Node.PAIN_MORE, Node.ENERGY,
        Node.EQUIPMENT, Node.MISSING, Node.AREA, Node.SAFEGUARD, Node.EFFORT, Node.STAND_IN,
        Node.CONFIRM, Node.CONFIRM_FINISH, Node.HURT_PART, Node.HURT_LEVEL, Node.HURT_CHOICE,
        Node.SESSION_EFFORT,
    }
)  # fmt: skip
"""Nodes where the coach has asked something: other speech there is answered with "say again"."""

WAITING = QUESTIONS | {Node.READY, Node.OFF}
"""Nodes that go on only when the athlete speaks; silence there is met with prompts."""

MOVING = frozenset({Node.COUNTDOWN, Node.WORK, Node.SWITCH})
"""Nodes in which the athlete is, or is about to be, in the movement."""

AT_A_BLOCK = MOVING | {
    Node.SAFEGUARD, Node.READY, Node.OFF, Node.REST, Node.EFFORT, Node.STAND_IN,
}  # fmt: skip
"""Nodes that belong to a block, where it can be changed."""
