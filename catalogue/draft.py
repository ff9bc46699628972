"""A plan in the making: blocks that go in while the minutes last."""

from __future__ import annotations

from dataclasses import dataclass, field

from catalogue.dosing import amount_of, range_of, with_amount
from catalogue.model import Movement, Phase
from catalogue.pace import block_seconds
from catalogue.plan import Block, Target
from catalogue.reason import Reason


@dataclass
class Part:
    """One block in the making. `skill` is the skill it is there for, warm-up included."""

    movement: Movement
    phase: Phase
    target: Target
    skill: str | None = None
    reason: Reason | None = None
    stand_in: str | None = None
    seconds: int = 0

    def __post_init__(self) -> None:
        self.retarget(self.target)

    def retarget(self, target: Target) -> None:
        self.target = target
        self.seconds = block_seconds(self.phase, target, self.movement)

    def with_sets(self, sets: int) -> Target:
        return self.target.model_copy(update={"sets": sets})

    def block(self) -> Block:
        return Block(
            movement=self.movement.id,
            phase=self.phase,
            target=self.target,
            reason=self.reason,
            stand_in=self.stand_in,
        )


@dataclass
class Draft:
    """Parts in the order in which they were found worth having, within `budget` seconds."""

    budget: int
    parts: list[Part] = field(default_factory=list)
    seconds: int = 0

    @property
    def left(self) -> int:
        return self.budget - self.seconds

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

    def of(self, phase: Phase) -> list[Part]:
        return [part for part in self.parts if part.phase is phase]

    def spent(self, phase: Phase) -> int:
        return sum(part.seconds for part in self.parts if part.phase is phase)

    def uses(self, movement: Movement) -> bool:
        return any(part.movement.id == movement.id for part in self.parts)

    def stretch(self, part: Part) -> None:
        """Raise the part's amount within its range as far as the budget goes."""
        one_more = with_amount(part.target, amount_of(part.target) + 1)
        before = part.seconds
        part.retarget(one_more)
        price, part_target = part.seconds - before, with_amount(one_more, amount_of(one_more) - 1)
        part.retarget(part_target)
        room = range_of(part.movement.dosage).high - amount_of(part.target)
        more = min(room, self.left // price) if price > 0 else 0
        if more > 0:
            self.retarget(part, with_amount(part.target, amount_of(part.target) + more))
