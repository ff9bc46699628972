"""Left beside right for every movement with sides."""

from __future__ import annotations

from dataclasses import dataclass

from catalogue.history import History, SetDone
from catalogue.model import Catalogue, Movement, Phase, Sides
from catalogue.symmetry import Symmetry, symmetry


@dataclass(frozen=True)
class Pair:
    """A movement with what its last sessions say of both sides, trained last on `day`."""

    movement: Movement
    unit: str
    sides: Symmetry
    day: int


def pairs(catalogue: Catalogue, history: History, since: int) -> list[Pair]:
    """Main movements with sides that were trained since that day (an ordinal), most uneven first.

    Those whose sides have no verdict yet (fewer than two sessions with both) are left out.
    """
    sided: dict[str, list[SetDone]] = {}
    for done in history.sets:
        movement = catalogue.movements.get(done.movement)
        if movement and movement.phase is Phase.MAIN and movement.sides is not Sides.NONE:
            sided.setdefault(done.movement, []).append(done)
    found = []
    for movement_id, sets in sided.items():
        found_sides = symmetry(movement_id, History(tuple(sets)))
        if found_sides is not None and sets[-1].day >= since:
            movement = catalogue.movements[movement_id]
            found.append(Pair(movement, sets[-1].unit, found_sides, sets[-1].day))
    return sorted(found, key=lambda pair: (pair.sides.index, pair.movement.id))
