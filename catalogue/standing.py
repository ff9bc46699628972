"""Where an athlete stands in a skill: what the log has led to, session by session."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from catalogue.conditions import LEVELS, STEPS_PER_LEVEL, Conditions, level_index, rung
from catalogue.dosing import target_for
from catalogue.history import History, SetDone, by_session
from catalogue.model import Catalogue, Id, Level, Movement, Profile
from catalogue.plan import Target
from catalogue.progression import Session, Step, asked_for, decide, reached
from catalogue.reason import Reason
from catalogue.step_rules import LEVELS_AHEAD


@dataclass(frozen=True)
class Standing:
    """The movement to train next and its target; `last_day` is when the skill was last trained.

    `reason` is the decision that led here, None before the first session.
    """

    movement_id: Id
    target: Target
    reason: Reason | None = None
    last_day: int | None = None


def standing(
    catalogue: Catalogue,
    ladder: Sequence[Movement],
    level: Level,
    sets: Iterable[SetDone],
    today: int | None = None,
) -> Standing:
    """Where the log has led, from the first step of `level`.

    `ladder` holds the skill's movements, easiest first; `sets` are those of the skill, oldest
    first. Training something easier, for want of equipment or because of pain elsewhere, does not
    take a place away; reaching the targets of something harder in two sessions in a row gives it.
    The log leads one level above `level` at most: for more, a coach has to raise the level.
    """
    reach = (min(level_index(level) + LEVELS_AHEAD, len(LEVELS) - 1) + 1) * STEPS_PER_LEVEL - 1
    at = entry(ladder, level)
    step: Step | None = None
    last_day: int | None = None
    past: dict[str, list[Session]] = {}
    for session in by_session(sets):
        last_day = session[0].day
        for movement_id, own in _by_movement(session).items():
            trained = catalogue.movements[movement_id]
            past[movement_id] = [*past.get(movement_id, ())[-1:], own]
            if rung(at) < rung(trained) <= reach and _twice(trained, past[movement_id]):
                at = trained
            if movement_id != at.id:
                continue
            step = decide(catalogue, at, None, past[at.id])
            following = catalogue.movements[step.movement_id]
            if following is not at and rung(following) <= reach:
                # A movement come to anew is judged by what follows, not by what once was.
                at = following
                past.pop(at.id, None)
    if step is None or step.movement_id != at.id:
        return Standing(at.id, target_for(at), None, last_day)
    if at.id in past:
        step = decide(catalogue, at, None, past[at.id], today)
    return Standing(step.movement_id, step.target, step.reason, last_day)


def _twice(movement: Movement, sessions: Sequence[Session]) -> bool:
    """Whether the last two sessions both reached what they asked for in all sets."""
    return len(sessions) == 2 and all(
        reached(movement, session, asked_for(movement, session[-1].target)) for session in sessions
    )


def entry(ladder: Sequence[Movement], level: Level) -> Movement:
    """The first step of the level, else the hardest below it, else the easiest there is."""
    first = level_index(level) * STEPS_PER_LEVEL
    within = [movement for movement in ladder if first <= rung(movement) < first + STEPS_PER_LEVEL]
    below = [movement for movement in ladder if rung(movement) < first]
    return within[0] if within else below[-1] if below else ladder[0]


def _by_movement(session: Session) -> dict[str, Session]:
    groups: dict[str, list[SetDone]] = {}
    for done in session:
        groups.setdefault(done.movement, []).append(done)
    return {movement: tuple(own) for movement, own in groups.items()}


def level_of(profile: Profile, skill: str) -> Level:
    """The level that the coach set for a skill; a beginner's where none is set."""
    return profile.levels.get(skill, Level.BEGINNER)


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


def standings(
    catalogue: Catalogue, profile: Profile, history: History, today: int | None = None
) -> dict[str, Standing]:
    """Where the athlete stands in every skill that has movements."""
    done = sets_by_skill(catalogue, history)
    return {
        skill: standing(catalogue, ladder, level_of(profile, skill), done.get(skill, ()), today)
        for skill, ladder in ladders(catalogue).items()
        if ladder
    }


def earned(catalogue: Catalogue, conditions: Conditions, stands: Iterable[Standing]) -> Conditions:
    """Conditions in which the athlete's own level is at least the one the log has led to."""
    levels = dict(conditions.levels)
    for each in stands:
        movement = catalogue.movements[each.movement_id]
        ceiling = conditions.ceiling_for(movement.skill)
        if movement.skill is None or movement.level is None or ceiling is None:
            continue
        levels[movement.skill] = max(ceiling, movement.level, key=level_index)
    return replace(conditions, levels=levels)


def conditions_for(catalogue: Catalogue, profile: Profile, history: History) -> Conditions:
    """An ordinary day of this athlete, with the levels that the log has earned."""
    stands = standings(catalogue, profile, history)
    return earned(catalogue, Conditions.of(profile), stands.values())
