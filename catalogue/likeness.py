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

from typing import NamedTuple

from catalogue.conditions import rung
from catalogue.model import Movement


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


def likeness_cost(wanted: Movement, candidate: Movement) -> float:
    """The price of likeness alone, as the module's docstring states it; 0 for itself."""
    cost = 0.0
    if wanted.skill != candidate.skill:
        cost += COSTS.other_skill
    if wanted.dosage.kind != candidate.dosage.kind:
        cost += COSTS.other_dosage
    cost += COSTS.added_hazard * len(set(candidate.hazards).difference(wanted.hazards))
    parts, others = frozenset(wanted.loads), frozenset(candidate.loads)
    union = len(parts | others)
    if union:
        cost += COSTS.other_parts * (1 - len(parts & others) / union)
    steps = rung(candidate) - rung(wanted)
    cost += COSTS.step_harder * steps if steps > 0 else -COSTS.step_easier * steps
    return cost + COSTS.lost_equipment * len(set(wanted.equipment) - set(candidate.equipment))
