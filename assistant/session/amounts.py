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


def sets_of(block: Block) -> int:
    """How many sets a block has, the weaker side's extra one included."""
    return block.target.sets + (1 if block.extra_side is not None else 0)


def sides_of(movement: Movement, block: Block, number: int) -> tuple[Side, ...]:
    """The sides of a block's set in order; the extra set has the weaker side alone."""
    if movement.sides is Sides.NONE:
        return ("none",)
    if block.extra_side is not None and number > block.target.sets:
        return (block.extra_side,)
    return ("left", "right")


def asked(block: Block, movement: Movement) -> int:
    """The amount asked for on one side in one set.

    Shared sides have half the amount each, so that neither is favoured.
    """
    target = block.target
    amount = target.seconds or target.reps or target.per_side or target.metres or 1
    return max(1, round(amount / 2)) if movement.sides is Sides.SHARED else amount
