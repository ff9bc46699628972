"""What goes into a session, in the order in which it is worth having, while the minutes last.

1. Something to raise the pulse, the first skill, something to wind down, something to mobilise, the
   second skill.
2. The sets that the coach asks for, and one more for a weaker side.
3. A rehearsal of each skill, the rest of the warm-up (a fifth of the time, ten minutes at most) and
   of the cool-down (a tenth, four minutes at most).
4. A third skill in a long session, a second movement of each skill (none harder than the first),
   one more set of each, the next step of each for a try where it is of the same level, then more
   movements of each.
5. Further skills, each with what mobilises for it, and their next steps; one or two more sets.
6. One set of a further skill; longer warm-up and cool-down within their ranges.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from catalogue.around import rehearsal
from catalogue.conditions import Conditions, possible, rung
from catalogue.dosing import target_for
from catalogue.draft import Draft
from catalogue.history import History
from catalogue.model import Movement, Phase, Sides
from catalogue.plan import MOST_SETS, Target
from catalogue.readiness import Changes
from catalogue.reason import Reason
from catalogue.substituter import Substituter
from catalogue.symmetry import more_for
from catalogue.today import Due, wants_fresh

TOLERANCE = 60
"""A plan fills its minutes to within this many seconds, or says why not."""

WARM_UP_SHARE, WARM_UP_MOST = 0.20, 600
COOL_DOWN_SHARE, COOL_DOWN_MOST = 0.10, 240
"""About five minutes to raise and five to mobilise is the usual advice for a long session (read
in secondary sources on the order raise, mobilise, potentiate); the shares are judgement."""


@dataclass
class Day:
    """What the parts of one plan are made from; each iterator gives a movement once."""

    index: Substituter
    conditions: Conditions
    history: History
    changes: Changes
    draft: Draft
    warm_ups: list[Movement]
    raising: Iterator[Movement]
    moving: Iterator[Movement]
    winding: Iterator[Movement]


def fill(day: Day, first: list[Due], later: list[Due]) -> None:
    """Fill the draft. `first` are the day's skills, `later` those to add if time is left."""
    draft = day.draft
    warm_most = min(WARM_UP_MOST, round(draft.budget * WARM_UP_SHARE))
    cool_most = min(COOL_DOWN_MOST, round(draft.budget * COOL_DOWN_SHARE))
    _around(day, Phase.WARM_UP, day.raising)
    for item in (*first, *later):
        # In very little time the first skill may not fit where another one does.
        if _main(day, item):
            break
    _around(day, Phase.COOL_DOWN, day.winding)
    _around(day, Phase.WARM_UP, day.moving)
    for item in first[:2]:
        if not draft.uses(item.movement):
            _main(day, item)
    _grow(draft)
    _favour(day)
    for item in first[:2]:
        _rehearse(day, item)
    while _around(day, Phase.WARM_UP, day.moving, warm_most - draft.spent(Phase.WARM_UP)):
        pass
    while _around(day, Phase.COOL_DOWN, day.winding, cool_most - draft.spent(Phase.COOL_DOWN)):
        pass
    for item in first[2:]:
        if not draft.uses(item.movement):
            _main(day, item)
        _grow(draft)
        _mobilise(day, item)
        _rehearse(day, item)
    _around(day, Phase.WARM_UP, day.raising)
    for item in first:
        _second(day, item)
    if not day.changes.fewer_sets:
        _grow(draft, extra=1)
    if not day.changes.fewer_sets:
        for item in first:
            _try_next(day, item)
    while sum(_second(day, item) for item in first):
        pass
    _further(day, later, least=2)
    if not day.changes.fewer_sets:
        for item in later:
            _try_next(day, item)
        _grow(draft, extra=1)
        if draft.left > TOLERANCE:
            _grow(draft, extra=2)
    _further(day, later, least=1)
    _favour(day)
    for part in (*draft.of(Phase.WARM_UP), *draft.of(Phase.COOL_DOWN)):
        draft.stretch(part)


def _around(
    day: Day, phase: Phase, movements: Iterator[Movement], limit: int | None = None
) -> bool:
    """The next movement before or after the main part, where there is one and it fits."""
    movement = next((each for each in movements if not day.draft.uses(each)), None)
    if movement is None:
        return False
    return day.draft.add(day.draft.part(movement, phase, target_for(movement)), limit)


def _main(day: Day, item: Due, least: int = 1) -> bool:
    """A skill's movement with the fewest sets that are wanted, to grow from, where it fits."""
    target = _today(day, item.movement, item.target)
    part = day.draft.part(item.movement, Phase.MAIN, target, item.skill.id, item.reason)
    part.retarget(part.with_sets(min(least, part.most)))
    part.stand_in = _stand_in(day, item.movement)
    return day.draft.add(part)


def _further(day: Day, later: list[Due], least: int) -> None:
    """More skills with `least` sets or more each, while there is time worth filling."""
    for item in later:
        if day.draft.left > TOLERANCE and not day.draft.uses(item.movement):
            _main(day, item, least)
            _mobilise(day, item)
            _grow(day.draft)


def _today(day: Day, movement: Movement, target: Target) -> Target:
    """A target with what the check-in takes off it."""
    sets = max(1, target.sets - day.changes.fewer_sets)
    base = target_for(movement) if day.changes.stay else target
    return base.model_copy(update={"sets": sets})


def _grow(draft: Draft, extra: int = 0) -> None:
    """One set at a time, in turn, up to the number asked for and `extra` more."""
    growing = draft.of(Phase.MAIN)
    while growing:
        for part in tuple(growing):
            full = part.target.sets >= min(MOST_SETS, part.most + extra)
            if full or not draft.retarget(part, part.with_sets(part.target.sets + 1)):
                growing.remove(part)


def _favour(day: Day) -> None:
    """One more set for a weaker side, where each side does its own."""
    for part in day.draft.of(Phase.MAIN):
        if part.movement.sides is Sides.EACH and part.extra is None:
            found = more_for(part.movement, day.history)
            if found:
                day.draft.favour(part, found)


def _mobilise(day: Day, item: Due) -> None:
    """The warm-up that moves most of what a movement loads and nothing has moved yet."""
    draft = day.draft
    moved = {part for part_of in draft.of(Phase.WARM_UP) for part in part_of.movement.loads}
    still = set(item.movement.loads) - moved
    unused = [movement for movement in day.warm_ups if not draft.uses(movement)]
    best = max(unused, key=lambda movement: len(still.intersection(movement.loads)), default=None)
    if best and still.intersection(best.loads) and draft.uses(item.movement):
        draft.add(draft.part(best, Phase.WARM_UP, target_for(best)))


def _rehearse(day: Day, item: Due) -> None:
    """One set of something easier of the skill, as the end of the warm-up."""
    movement = rehearsal(day.index, item.movement, item.own)
    if movement is None or day.draft.uses(movement) or not day.draft.uses(item.movement):
        return
    target = target_for(movement).model_copy(update={"sets": 1})
    reason = Reason(
        id="rehearses", values={"movement": movement.name, "next_movement": item.movement.name}
    )
    day.draft.add(day.draft.part(movement, Phase.WARM_UP, target, item.skill.id, reason))


def _second(day: Day, item: Due) -> bool:
    """One more movement of the skill: the nearest, none harder, none that wants fresh arms."""
    draft = day.draft
    if draft.left <= TOLERANCE or not draft.uses(item.movement):
        return False
    used = frozenset(part.movement.id for part in draft.parts)
    found = day.index.nearest(item.movement.id, item.own, used, offer=False, same_skill=True)
    if found is None:
        return False
    movement = day.index.catalogue.movements[found.movement]
    if rung(movement) > rung(item.movement) or wants_fresh(movement):
        return False
    again = Due(item.skill, movement, target_for(movement), None, item.last_day, item.own)
    added = _main(day, again)
    _grow(draft)
    return added


def _try_next(day: Day, item: Due) -> None:
    """The next step of the skill at the same level, for a try, where there is time left."""
    draft, link = day.draft, item.movement.links.progress
    if link is None or draft.left <= TOLERANCE or not draft.uses(item.movement):
        return
    movement = day.index.catalogue.movements[link]
    same = movement.skill == item.skill.id and movement.level is item.movement.level
    if same and possible(movement, item.own) and not wants_fresh(movement):
        if draft.uses(movement):
            return
        reason = Reason(
            id="try_next", values={"movement": movement.name, "before": item.movement.name}
        )
        again = Due(item.skill, movement, target_for(movement), reason, item.last_day, item.own)
        _main(day, again, least=2)
        _grow(draft)


def _stand_in(day: Day, movement: Movement) -> str | None:
    """The spoken name of the stand-in that was accepted for the movement's equipment."""
    for item in movement.equipment:
        if item in day.conditions.stand_ins and item not in day.conditions.equipment:
            found = day.index.within_reach(item, day.conditions)
            return found.name if found else None
    return None
