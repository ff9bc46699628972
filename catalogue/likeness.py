"""How near one movement is to another: the prices of the search for a substitute.

The price of likeness is the sum of

- another skill: 1,000, more than all the rest together;
- quality: another kind of dosage 8, each hazard that the candidate adds 10, and up to 10 for
  body parts that are not shared (10 times one minus shared over all);
- level and step: 1 for each step easier, 20 for each step harder;
- lost equipment: 0.25 for each piece of the original that the candidate does not use.

The coach's own links cost alternative 1, regression 1.5, progression 20 each: a coach's word counts
more than likeness, also where it leads into another skill.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import NamedTuple

from catalogue.conditions import LEVELS, Conditions, level_index, rung
from catalogue.model import BodyPart, Hazard, Movement


class Costs(NamedTuple):
    """The prices of the module's docstring, in no unit."""

    other_skill: float = 1000.0
    other_dosage: float = 8.0
    added_hazard: float = 10.0
    other_parts: float = 10.0
    step_easier: float = 1.0
    step_harder: float = 20.0
    lost_equipment: float = 0.25
    alternative: float = 1.0
    regress: float = 1.5
    progress: float = 20.0


COSTS = Costs()


class Numbering(dict[str, int]):
    """Ids of equipment, each with a bit of its own, given out as they come."""

    def __missing__(self, item: str) -> int:
        self[item] = bit = 1 << len(self)
        return bit


_PARTS = {part: 1 << place for place, part in enumerate(BodyPart)}
_HAZARDS = {hazard: 1 << place for place, hazard in enumerate(Hazard)}


class Traits(NamedTuple):
    """What likeness and feasibility look at, taken out of a movement once.

    `hazards`, `loads` and `equipment` are sets as bits: thousands are compared in one search.
    """

    id: str
    skill: str | None
    kind: str
    hazards: int
    loads: int
    equipment: int
    space: float
    level: int
    rung: int

    @classmethod
    def of(cls, movement: Movement, items: Numbering) -> Traits:
        return cls(
            movement.id,
            movement.skill,
            movement.dosage.kind,
            _bits(_HAZARDS[hazard] for hazard in movement.hazards),
            _bits(_PARTS[part] for part in movement.loads),
            _bits(items[item] for item in movement.equipment),
            movement.space,
            level_index(movement.level) if movement.level else 0,
            rung(movement),
        )


def _bits(bits: Iterable[int]) -> int:
    """All of them together; the same bit twice counts once."""
    whole = 0
    for bit in bits:
        whole |= bit
    return whole


def step_cost(wanted: int, candidate: int) -> float:
    """The price of the way from one rung of a ladder to another."""
    steps = candidate - wanted
    return COSTS.step_harder * steps if steps > 0 else -COSTS.step_easier * steps


def likeness_cost(wanted: Traits, candidate: Traits) -> float:
    """The price of likeness alone, as the module's docstring states it; 0 for itself."""
    cost = step_cost(wanted.rung, candidate.rung)
    if wanted.skill != candidate.skill:
        cost += COSTS.other_skill
    if wanted.kind != candidate.kind:
        cost += COSTS.other_dosage
    cost += COSTS.added_hazard * (candidate.hazards & ~wanted.hazards).bit_count()
    if wanted.loads != candidate.loads:
        shared = (wanted.loads & candidate.loads).bit_count()
        every = (wanted.loads | candidate.loads).bit_count()
        cost += COSTS.other_parts * (1 - shared / every)
    return cost + COSTS.lost_equipment * (wanted.equipment & ~candidate.equipment).bit_count()


def filter_of(conditions: Conditions, items: Numbering) -> Callable[[Traits], bool]:
    """`offerable` for many movements: true where a movement can be done and is not too hard."""
    lacking = ~_bits(items[item] for item in conditions.equipment | conditions.stand_ins)
    hurting = _bits(_PARTS[part] for part in conditions.hurting)
    avoid = _bits(_HAZARDS[hazard] for hazard in conditions.avoid)
    space = conditions.space
    most = {skill: level_index(level) for skill, level in conditions.levels.items()}
    others = level_index(conditions.ceiling) if conditions.ceiling else len(LEVELS)

    def offers(traits: Traits) -> bool:
        return (
            traits.space <= space
            and not traits.equipment & lacking
            and (traits.skill is None or traits.level <= most.get(traits.skill, others))
            and not traits.loads & hurting
            and not traits.hazards & avoid
        )

    return offers
