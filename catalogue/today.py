"""Which movement of each skill is due today, and in what order the skills want training."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from catalogue.conditions import Conditions, feasible
from catalogue.dosing import target_for
from catalogue.history import History
from catalogue.model import BodyPart, Catalogue, Hazard, Movement, Phase, Profile, Skill
from catalogue.plan import Plan, Target
from catalogue.reason import Reason
from catalogue.standing import Standing, earned, standings
from catalogue.substituter import Substituter

FRESH = frozenset({Hazard.INVERTED, Hazard.HANGING})
"""Work that wants a fresh grip and fresh shoulders."""

ARMS = frozenset({BodyPart.SHOULDER, BodyPart.ELBOW, BodyPart.WRIST, BodyPart.HAND})


@dataclass(frozen=True)
class Due:
    """What is due in one skill. `own` are the conditions with the level the log has earned."""

    skill: Skill
    movement: Movement
    target: Target
    reason: Reason | None
    last_day: int | None
    own: Conditions


def wants_fresh(movement: Movement) -> bool:
    """Inverted and hanging work: at most once in a session, before the arms are tired."""
    return not FRESH.isdisjoint(movement.hazards)


def tires_arms(movement: Movement) -> bool:
    """Loads grip, wrists, elbows or shoulders."""
    return not ARMS.isdisjoint(movement.loads)


def due_today(
    index: Substituter,
    profile: Profile,
    conditions: Conditions,
    history: History,
    day: int,
    earlier: Sequence[tuple[int, Plan]] = (),
) -> tuple[list[Due], list[Reason]]:
    """What is due, skills in the order in which they want training, and what can not be done.

    Longest untrained first; a skill that was never trained comes before all. Work that wants
    fresh arms goes last on the day after such work. Ties follow the catalogue. `earlier` are plans
    for days since the history, as yet undone: they count for the order alone.
    """
    catalogue = index.catalogue
    found: list[Due] = []
    barred: list[Reason] = []
    stands = standings(catalogue, profile, history, day)
    own = earned(catalogue, conditions, stands.values())
    planned = _planned(catalogue, earlier)
    for skill_id, stand in stands.items():
        last_day = planned.get(skill_id, stand.last_day)
        due, against = _due(index, own, catalogue.skills[skill_id], stand, last_day)
        found += [due] if due else []
        barred += [against] if against else []
    tired = _tired(catalogue, history, day, earlier)
    found.sort(
        key=lambda due: (
            tired and wants_fresh(due.movement),
            due.last_day is not None,
            due.last_day or 0,
        )
    )
    return found, barred


def _due(
    index: Substituter, own: Conditions, skill: Skill, stand: Standing, last_day: int | None
) -> tuple[Due | None, Reason | None]:
    """The movement of the standing or its nearest in the skill, and what is worth telling.

    A stand-in that would do is told, not taken: its condition has to be agreed to first.
    """
    catalogue = index.catalogue
    movement = catalogue.movements[stand.movement_id]
    against = feasible(catalogue, movement, own)
    if against is None:
        return Due(skill, movement, stand.target, stand.reason, last_day, own), None
    offered = index.offer(movement, own)
    told = Reason(id="left_out_stand_in", values=dict(offered.reason.values)) if offered else None
    instead = index.nearest(movement.id, own, offer=False, same_skill=True)
    if instead is not None:
        replacement = catalogue.movements[instead.movement]
        target = target_for(replacement)
        return Due(skill, replacement, target, instead.reason, last_day, own), told
    values = {**against.values, "skill": skill.name}
    return None, told or Reason(id=f"left_out_{against.id}", values=values)


def _planned(catalogue: Catalogue, earlier: Sequence[tuple[int, Plan]]) -> dict[str, int]:
    """The last day on which a plan trains each skill."""
    days: dict[str, int] = {}
    for day, plan in earlier:
        for block in plan.blocks:
            skill = catalogue.movements[block.movement].skill
            if skill is not None and block.phase is Phase.MAIN:
                days[skill] = max(day, days.get(skill, day))
    return days


def _tired(
    catalogue: Catalogue, history: History, day: int, earlier: Sequence[tuple[int, Plan]]
) -> bool:
    """Whether inverted or hanging work was done (or is planned) the day before, or today."""
    recent = {block.movement for when, plan in earlier if when >= day - 1 for block in plan.blocks}
    for done in reversed(history.sets):
        if done.day < day - 1:
            break
        recent.add(done.movement)
    known = (catalogue.movements.get(movement) for movement in recent)
    return any(movement is not None and wants_fresh(movement) for movement in known)
