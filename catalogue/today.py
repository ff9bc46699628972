"""Which movement of each skill is due today, and in what order the skills want training."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from catalogue.conditions import Conditions, allowed, feasible, level_index, rung
from catalogue.dosing import target_for
from catalogue.history import History, SetDone
from catalogue.model import BodyPart, Catalogue, Hazard, Level, Movement, Profile, Skill
from catalogue.plan import Target
from catalogue.progression import level_of, standing
from catalogue.reason import Reason
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


def ladders(catalogue: Catalogue) -> dict[str, list[Movement]]:
    """The main movements of each skill, easiest first, ties by id."""
    found: dict[str, list[Movement]] = {skill: [] for skill in catalogue.skills}
    for movement in catalogue.movements.values():
        if movement.skill is not None:
            found[movement.skill].append(movement)
    for ladder in found.values():
        ladder.sort(key=lambda movement: (rung(movement), movement.id))
    return found


def sets_by_skill(catalogue: Catalogue, history: History) -> dict[str, list[SetDone]]:
    """The log of each skill; sets of movements that left the catalogue are passed over."""
    found: dict[str, list[SetDone]] = {}
    for done in history.sets:
        movement = catalogue.movements.get(done.movement)
        if movement is not None and movement.skill is not None:
            found.setdefault(movement.skill, []).append(done)
    return found


def due_today(
    index: Substituter, profile: Profile, conditions: Conditions, history: History, day: int
) -> tuple[list[Due], list[Reason]]:
    """What is due, skills in the order in which they want training, and what can not be done.

    Longest untrained first; a skill that was never trained comes before all. Work that wants
    fresh arms goes last on the day after such work. Ties follow the catalogue.
    """
    catalogue = index.catalogue
    done = sets_by_skill(catalogue, history)
    found: list[Due] = []
    barred: list[Reason] = []
    for skill_id, ladder in ladders(catalogue).items():
        if not ladder:
            continue
        due = _due(index, profile, conditions, skill_id, ladder, done.get(skill_id, ()), day)
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


def _due(
    index: Substituter,
    profile: Profile,
    conditions: Conditions,
    skill_id: str,
    ladder: list[Movement],
    done: Iterable[SetDone],
    day: int,
) -> Due | Reason:
    catalogue = index.catalogue
    skill = catalogue.skills[skill_id]
    stands = standing(catalogue, ladder, level_of(profile, skill_id), done, day)
    movement = catalogue.movements[stands.movement_id]
    own = _earned(conditions, skill_id, movement)
    if allowed(movement, own):
        return Due(skill, movement, stands.target, stands.reason, stands.last_day, own)
    instead = index.nearest(movement.id, own, offer=False)
    replacement = catalogue.movements[instead.movement] if instead else None
    if instead is None or replacement is None or replacement.skill != skill_id:
        against = feasible(catalogue, movement, own)
        assert against is not None
        values: Mapping[str, str | int] = {**against.values, "skill": skill.name}
        return Reason(id=f"left_out_{against.id}", values=dict(values))
    target = target_for(replacement)
    return Due(skill, replacement, target, instead.reason, stands.last_day, own)


def _earned(conditions: Conditions, skill_id: str, movement: Movement) -> Conditions:
    """The log may have led above the level that the conditions name."""
    ceiling = conditions.ceiling_for(skill_id)
    level: Level | None = movement.level
    if ceiling is None or level is None or level_index(level) <= level_index(ceiling):
        return conditions
    return replace(conditions, levels={**conditions.levels, skill_id: level})


def _tired(catalogue: Catalogue, history: History, day: int) -> bool:
    """Whether inverted or hanging work was done the day before."""
    for done in reversed(history.sets):
        if done.day < day - 1:
            return False
        movement = catalogue.movements.get(done.movement)
        if done.day == day - 1 and movement is not None and wants_fresh(movement):
            return True
    return False
