"""How much one set asks for, and on which sides."""

from __future__ import annotations

from typing import Literal

from assistant.session.facts import Side
from catalogue.model import Movement, Sides
from catalogue.plan import Block, Target

Unit = Literal["seconds", "reps", "metres"]


def unit_of(target: Target) -> Unit:
    if target.seconds is not None:
        return "seconds"
    return "metres" if target.metres is not None else "reps"


def sides_of(movement: Movement) -> tuple[Side, ...]:
    """The sides of one set in order."""
    return ("none",) if movement.sides is Sides.NONE else ("left", "right")


def asked(block: Block, movement: Movement) -> int:
    """The amount asked for on one side in one set.

    Shared sides have half the amount each, so that neither is favoured.
    """
    target = block.target
    amount = target.seconds or target.reps or target.per_side or target.metres or 1
    return max(1, round(amount / 2)) if movement.sides is Sides.SHARED else amount
