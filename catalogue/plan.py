"""A session as planned: an ordered list of blocks, each one movement with its target."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from catalogue.model import Frozen, Id, Phase
from catalogue.reason import Reason

MOST_SETS = 10


class Target(Frozen):
    """What one set asks for. Exactly one of the amounts is set; `per_side` counts each side."""

    seconds: int | None = Field(default=None, ge=1, le=600)
    reps: int | None = Field(default=None, ge=1, le=600)
    per_side: int | None = Field(default=None, ge=1, le=600)
    metres: int | None = Field(default=None, ge=1, le=600)
    sets: int = Field(ge=1, le=MOST_SETS)
    rest: int = Field(ge=0, le=300, description="seconds after each set")


class Block(Frozen):
    """One movement in a session, with the reason it is there where one needs saying.

    `extra_side` is a side that does one more set once both sides have done theirs.
    """

    movement: Id
    phase: Phase
    target: Target
    reason: Reason | None = None
    stand_in: str | None = Field(default=None, description="spoken name of a stand-in to use")
    extra_side: Literal["left", "right"] | None = None
    extra_because: Reason | None = None


class Plan(Frozen):
    """A whole session: blocks in order, the seconds it should take, and what was left out."""

    blocks: tuple[Block, ...] = Field(min_length=1)
    seconds: int
    left_out: tuple[Reason, ...] = ()
