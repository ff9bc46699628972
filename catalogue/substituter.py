"""What to do instead of a movement, and the way up and down its links, each with the reason."""

from __future__ import annotations

from dataclasses import dataclass, replace

from catalogue.conditions import (
    LEVELS,
    Conditions,
    feasible,
    level_index,
    missing,
    possible,
    rung,
    within_level,
)
from catalogue.likeness import COSTS
from catalogue.model import Catalogue, Id, Level, Movement, StandIn
from catalogue.nearness import Nearness
from catalogue.reason import Reason


@dataclass(frozen=True)
class Substitution:
    """What to do instead.

    With `stand_in` set the movement is the one asked for and `replaces` is the equipment (id)
    that the stand-in would replace: ask whether its condition holds before it is used.
    """

    movement: Id
    reason: Reason
    cost: float = 0.0
    stand_in: StandIn | None = None
    replaces: Id | None = None


def stand_ins_for(catalogue: Catalogue, equipment_id: str) -> tuple[StandIn, ...]:
    """What may take the place of a piece of equipment, best first; empty where nothing may."""
    item = catalogue.equipment.get(equipment_id)
    return item.stand_ins if item else ()


class Substituter:
    """What to do instead of a movement of one catalogue, which is indexed once."""

    def __init__(self, catalogue: Catalogue) -> None:
        self.catalogue = catalogue
        self._nearness = Nearness(catalogue)
        self._up: dict[str, tuple[int, str]] = {}
        for movement in catalogue.movements.values():
            down = movement.links.regress
            if down is not None:
                found = rung(movement), movement.id
                self._up[down] = min(self._up.get(down, found), found)

    def nearest(
        self,
        movement_id: str,
        conditions: Conditions,
        exclude: frozenset[str] = frozenset(),
        *,
        offer: bool = True,
        same_skill: bool = False,
    ) -> Substitution | None:
        """The cheapest thing to do instead, or None where the catalogue has nothing.

        A movement that can be done is its own answer. One that only lacks equipment is offered
        with a stand-in (one piece at a time) unless `offer` is False or it is in `exclude`. To
        ask for something else altogether, put the movement itself in `exclude`. `same_skill` keeps
        to the movement's own skill.
        """
        wanted = self.catalogue.movements[movement_id]
        against = feasible(self.catalogue, wanted, conditions)
        if movement_id not in exclude:
            if against is None:
                return Substitution(movement_id, _named("as_planned", wanted))
            offered = self.offer(wanted, conditions) if offer else None
            if offered:
                return offered
        best = self._nearness.best(movement_id, conditions, exclude, same_skill=same_skill)
        if best is None:
            return None
        movement = self.catalogue.movements[best.movement_id]
        return Substitution(movement.id, self._why(wanted, movement, against), best.cost)

    def offer(self, wanted: Movement, conditions: Conditions) -> Substitution | None:
        """The movement itself with a stand-in, where equipment is all that is against it."""
        lacking = missing(wanted, conditions)
        whole = replace(conditions, stand_ins=conditions.stand_ins | frozenset(lacking))
        if not lacking or not possible(wanted, whole):
            return None
        found = [self.within_reach(item, conditions) for item in lacking]
        if not all(found):
            return None
        stand_in = found[0]
        assert stand_in is not None
        name = self.catalogue.equipment[lacking[0]].name
        reason = Reason(
            id="stand_in_offered",
            values={
                "movement": wanted.name,
                "equipment": name,
                "stand_in": stand_in.name,
                "condition": stand_in.condition,
            },
        )
        return Substitution(wanted.id, reason, 0.0, stand_in, lacking[0])

    def within_reach(self, equipment_id: str, conditions: Conditions) -> StandIn | None:
        """The first stand-in that a household has, or that is equipment the athlete has."""
        for stand_in in stand_ins_for(self.catalogue, equipment_id):
            if stand_in.item is None or stand_in.item in conditions.equipment:
                return stand_in
        return None

    def _why(self, wanted: Movement, chosen: Movement, against: Reason | None) -> Reason:
        """What stood against the movement, and the coach's word on why the other is easier."""
        cause = against.id.removeprefix("not_") if against else "asked"
        values = dict(against.values) if against else {}
        values |= {"movement": chosen.name, "instead_of": wanted.name}
        reason_id = f"instead_{cause}"
        if chosen.id == wanted.links.regress and wanted.links.easier_because:
            values["easier_because"] = wanted.links.easier_because
            reason_id += "_easier"
        return Reason(id=reason_id, values=values)

    def easier(self, movement_id: str, conditions: Conditions) -> Substitution | Reason:
        """The nearest regression that can be done, or the reason why there is none."""
        start = self.catalogue.movements[movement_id]
        seen, blocked = {movement_id}, None
        at = start
        while at.links.regress and at.links.regress not in seen:
            because = at.links.easier_because if at is start else None
            at = self.catalogue.movements[at.links.regress]
            seen.add(at.id)
            blocked = feasible(self.catalogue, at, conditions)
            if blocked is None:
                values: dict[str, str | int] = {"movement": at.name, "instead_of": start.name}
                if because:
                    values["easier_because"] = because
                reason = Reason(id="easier_because" if because else "easier", values=values)
                return Substitution(at.id, reason, COSTS.regress * (len(seen) - 1))
        return _blocked_chain("easier", start, blocked)

    def harder(self, movement_id: str, conditions: Conditions) -> Substitution | Reason:
        """The nearest progression that can be done, or the reason why there is none.

        Asking for more may lead one level above the athlete's own and no further.
        """
        start = self.catalogue.movements[movement_id]
        reach = replace(
            conditions,
            ceiling=_one_up(conditions.ceiling),
            levels={skill: _one_up(own) or own for skill, own in conditions.levels.items()},
        )
        seen, blocked = {movement_id}, None
        at = start
        while (up := self._next_up(at)) and up not in seen:
            at = self.catalogue.movements[up]
            seen.add(at.id)
            blocked = feasible(self.catalogue, at, reach)
            if not within_level(at, reach):
                return Reason(id="nothing_harder_at_level", values={"movement": start.name})
            if blocked is None:
                values: dict[str, str | int] = {"movement": at.name, "instead_of": start.name}
                return Substitution(
                    at.id, Reason(id="harder", values=values), COSTS.progress * (len(seen) - 1)
                )
        return _blocked_chain("harder", start, blocked)

    def _next_up(self, movement: Movement) -> str | None:
        """The progression, or the easiest movement whose regression this is."""
        pointing = self._up.get(movement.id)
        return movement.links.progress or (pointing[1] if pointing else None)


def _blocked_chain(way: str, start: Movement, blocked: Reason | None) -> Reason:
    """Why there is nothing `easier` or `harder`: the end of the links, or what bars the rest."""
    if blocked is None:
        return Reason(id=f"nothing_{way}", values={"movement": start.name})
    return Reason(id=f"nothing_{way}_{blocked.id}", values=dict(blocked.values))


def _one_up(level: Level | None) -> Level | None:
    return None if level is None else LEVELS[min(level_index(level) + 1, len(LEVELS) - 1)]


def _named(reason_id: str, movement: Movement) -> Reason:
    return Reason(id=reason_id, values={"movement": movement.name})
