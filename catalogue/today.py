"""Which movement of each skill is due today, and in what order the skills want training."""

from __future__ import annotations

from dataclasses import dataclass

from catalogue.conditions import Conditions, feasible
from catalogue.dosing import target_for
from catalogue.history import History
from catalogue.model import BodyPart, Catalogue, Hazard, Movement, Profile, Skill
from catalogue.plan import Target
from catalogue.reason import Reason
from catalogue.standing import Standing, earned, standings
from catalogue.substitute import Substituter

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
    index: Substituter, profile: Profile, conditions: Conditions, history: History, day: int
) -> tuple[list[Due], list[Reason]]:
    """What is due, skills in the order in which they want training, and what can not be done.

    Longest untrained first; a skill that was never trained comes before all. Work that wants
    fresh arms goes last on the day after such work. Ties follow the catalogue.
    """
    catalogue = index.catalogue
    found: list[Due] = []
    barred: list[Reason] = []
    stands = standings(catalogue, profile, history, day)
    own = earned(catalogue, conditions, stands.values())
    for skill_id, stand in stands.items():
        due = _due(index, own, catalogue.skills[skill_id], stand)
        if isinstance(due, Reason):
            barred.append(due)
        else:
            found.append(due)
    tired = _tired(catalogue, history, day)
    found.sort(
        key=lambda due: (
            tired and wants_fresh(due.movement),
            due.last_day is not None,
            due.last_day or 0,
        )
    )
    return found, barred


def _due(index: Substituter, own: Conditions, skill: Skill, stand: Standing) -> Due | Reason:
    """The movement of the standing, or its nearest in the skill, or why there is none."""
    catalogue = index.catalogue
    movement = catalogue.movements[stand.movement_id]
    against = feasible(catalogue, movement, own)
    if against is None:
        return Due(skill, movement, stand.target, stand.reason, stand.last_day, own)
    instead = index.nearest(movement.id, own, offer=False)
    if instead is not None:
        replacement = catalogue.movements[instead.movement]
        if replacement.skill == skill.id:
            target = target_for(replacement)
            return Due(skill, replacement, target, instead.reason, stand.last_day, own)
    return Reason(id=f"left_out_{against.id}", values={**against.values, "skill": skill.name})


def _tired(catalogue: Catalogue, history: History, day: int) -> bool:
    """Whether inverted or hanging work was done the day before."""
    for done in reversed(history.sets):
        if done.day < day - 1:
            return False
        movement = catalogue.movements.get(done.movement)
        if done.day == day - 1 and movement is not None and wants_fresh(movement):
            return True
    return False
