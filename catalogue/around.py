"""What goes before and after the main part: raise, mobilise, rehearse; and wind down.

Raise, mobilise, rehearse follows the order raise, activate and mobilise, potentiate (Jeffreys
2007, read in secondary sources). A warm-up raises the pulse where it is continuous work of hips
and knees; any other mobilises the parts it loads.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from catalogue.conditions import Conditions, offerable
from catalogue.model import BodyPart, Catalogue, Movement, Phase
from catalogue.substituter import Substituter

LEGS = frozenset({BodyPart.HIP, BodyPart.KNEE})


def raises(movement: Movement) -> bool:
    """Continuous work of hips and knees: it raises the pulse."""
    return movement.dosage.kind == "work" and LEGS.issubset(movement.loads)


def within_reach(
    catalogue: Catalogue, phase: Phase, conditions: Conditions, day: int
) -> list[Movement]:
    """Movements of a phase that can be done, turned by the day so that days differ."""
    found = sorted(
        movement.id
        for movement in catalogue.movements.values()
        if movement.phase is phase and offerable(movement, conditions)
    )
    turn = day % len(found) if found else 0
    return [catalogue.movements[id_] for id_ in found[turn:] + found[:turn]]


def loads_of(movements: Iterable[Movement]) -> Counter[BodyPart]:
    """How many of the movements load each part."""
    return Counter(part for movement in movements for part in movement.loads)


def covering(candidates: Sequence[Movement], loads: Counter[BodyPart]) -> Iterator[Movement]:
    """Candidates in the order in which they cover most of the load not yet covered.

    Once nothing more is covered the round begins again; every candidate comes once at most.
    """
    rest = list(candidates)
    open_parts = Counter(loads)
    fresh = True
    while rest:
        gains = [sum(open_parts[part] for part in movement.loads) for movement in rest]
        best = max(gains)
        if best == 0:
            if fresh:
                return
            open_parts, fresh = Counter(loads), True
            continue
        fresh = False
        chosen = rest.pop(gains.index(best))
        for part in chosen.loads:
            open_parts[part] = 0
        yield chosen


def rehearsal(index: Substituter, movement: Movement, conditions: Conditions) -> Movement | None:
    """The first thing down the links that is safe to do half warm: no hazards, and feasible."""
    seen = {movement.id}
    at = movement
    while at.links.regress and at.links.regress not in seen:
        at = index.catalogue.movements[at.links.regress]
        seen.add(at.id)
        if not at.hazards and offerable(at, conditions):
            return at
    return None
