"""A plan in the making: blocks that go in while the minutes last."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from catalogue.dosing import amount_of, range_of, with_amount
from catalogue.model import Movement, Phase
from catalogue.pace import Talk, block_seconds
from catalogue.plan import Block, Target
from catalogue.reason import Reason


@dataclass
class Part:
    """One block in the making.

    `skill` is the skill it is there for, warm-up included. `most` is the number of sets asked
    for; the target may have fewer for want of time.
    """

    movement: Movement
    phase: Phase
    target: Target
    talk: Talk
    skill: str | None = None
    reason: Reason | None = None
    stand_in: str | None = None
    extra: tuple[Literal["left", "right"], Reason] | None = None
    most: int = 0
    seconds: int = 0

    def __post_init__(self) -> None:
        self.most = self.most or self.target.sets
        self.retarget(self.target)

    def retarget(self, target: Target) -> None:
        self.target = target
        extra = self.extra is not None
        self.seconds = block_seconds(self.phase, target, self.movement, self.talk, extra=extra)

    def with_sets(self, sets: int) -> Target:
        return self.target.model_copy(update={"sets": sets})

    def block(self) -> Block:
        return Block(
            movement=self.movement.id,
            phase=self.phase,
            target=self.target,
            reason=self.reason,
            stand_in=self.stand_in,
            extra_side=self.extra[0] if self.extra else None,
            extra_because=self.extra[1] if self.extra else None,
        )


@dataclass
class Draft:
    """Parts in the order in which they were found worth having, within `budget` seconds."""

    budget: int
    talk: Talk
    parts: list[Part] = field(default_factory=list)
    seconds: int = 0

    @property
    def left(self) -> int:
        return self.budget - self.seconds

    def part(
        self,
        movement: Movement,
        phase: Phase,
        target: Target,
        skill: str | None = None,
        reason: Reason | None = None,
    ) -> Part:
        """A part for this draft, not yet in it."""
        return Part(movement, phase, target, self.talk, skill, reason)

    def add(self, part: Part, limit: int | None = None) -> bool:
        """Take the part in where it fits the budget, and `limit` seconds where one is given."""
        if part.seconds > (self.left if limit is None else min(self.left, limit)):
            return False
        self.parts.append(part)
        self.seconds += part.seconds
        return True

    def retarget(self, part: Part, target: Target) -> bool:
        """Change what a part asks for where the change fits the budget."""
        before = part.target, part.seconds
        part.retarget(target)
        if part.seconds - before[1] > self.left:
            part.target, part.seconds = before
            return False
        self.seconds += part.seconds - before[1]
        return True

    def favour(self, part: Part, extra: tuple[Literal["left", "right"], Reason]) -> bool:
        """Give one side of a part one more set where that fits the budget."""
        part.extra = extra
        if self.retarget(part, part.target):
            return True
        part.extra = None
        part.retarget(part.target)
        return False

    def of(self, phase: Phase) -> list[Part]:
        return [part for part in self.parts if part.phase is phase]

    def spent(self, phase: Phase) -> int:
        return sum(part.seconds for part in self.parts if part.phase is phase)

    def uses(self, movement: Movement) -> bool:
        return any(part.movement.id == movement.id for part in self.parts)

    def stretch(self, part: Part) -> None:
        """Raise the part's amount within its range as far as the budget goes."""
        amount = amount_of(part.target)
        longer = with_amount(part.target, amount + 1)
        price = block_seconds(part.phase, longer, part.movement, part.talk) - part.seconds
        room = range_of(part.movement.dosage).high - amount
        more = min(room, self.left // price) if price > 0 else 0
        if more > 0:
            self.retarget(part, with_amount(part.target, amount + more))
