"""A whole session from what is known: warm-up, main part, cool-down, within the minutes.

How time is given out, in this order, each thing only while it fits: something to raise the
pulse, the first skill, something to wind down, something to mobilise, the second skill; then the
sets that the coach asks for; then the rest of the warm-up (a fifth of the time, ten minutes at
most) with a rehearsal of each skill, and of the cool-down (a tenth, four minutes at most); then
further skills, a second movement of each skill, and one more set of each; at last longer
warm-up and cool-down within their ranges. What did not fit is told.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from catalogue.around import covering, loads_of, raises, rehearsal, within_reach
from catalogue.conditions import Conditions
from catalogue.dosing import target_for
from catalogue.draft import Draft, Part
from catalogue.history import History
from catalogue.model import Catalogue, Hazard, Movement, Phase, Profile
from catalogue.pace import CLOSING, OPENING, estimate_seconds
from catalogue.plan import Plan
from catalogue.reason import Reason
from catalogue.substitute import Substituter, substituter
from catalogue.today import Due, due_today, tires_arms, wants_fresh

__all__ = ["NothingToTrainError", "estimate_seconds", "plan_session"]

TOLERANCE = 60
"""A plan fills its minutes to within this many seconds, or says why not."""
WARM_UP_SHARE, WARM_UP_MOST = 0.20, 600
COOL_DOWN_SHARE, COOL_DOWN_MOST = 0.10, 240
MINUTES_A_SKILL = 20
"""One more skill than two for each of these minutes after the first forty."""


class NothingToTrainError(Exception):
    """Nothing in the catalogue can be done today; `reasons` tell what stands against it."""

    def __init__(self, reasons: tuple[Reason, ...]) -> None:
        super().__init__("nothing in the catalogue can be done under these conditions")
        self.reasons = reasons


@dataclass
class _Day:
    """What the parts of one plan are made from."""

    index: Substituter
    conditions: Conditions
    draft: Draft
    raising: Iterator[Movement]
    moving: Iterator[Movement]
    winding: Iterator[Movement]


def plan_session(
    catalogue: Catalogue,
    profile: Profile,
    conditions: Conditions,
    history: History = History(),  # noqa: B008 - frozen
    day: int = 0,
    minutes: int | None = None,
) -> Plan:
    """Plan one session.

    `day` is the date's ordinal, `minutes` the time there is (the profile's where None). The same
    arguments always give the same plan. Raises `NothingToTrainError` where nothing can be done.
    """
    index = substituter(catalogue)
    history = history.before(day) if day else history
    due, barred = due_today(index, profile, conditions, history, day)
    length = minutes if minutes is not None else profile.minutes
    wanted = 2 + max(0, length - 2 * MINUTES_A_SKILL) // MINUTES_A_SKILL
    first, later, kept = _first_skills(due, wanted)
    loads = loads_of(item.movement for item in first)
    warm_ups = within_reach(catalogue, Phase.WARM_UP, conditions, day)
    cool_downs = within_reach(catalogue, Phase.COOL_DOWN, conditions, day)
    today = _Day(
        index,
        conditions,
        Draft(max(0, length * 60 - OPENING - CLOSING)),
        iter([movement for movement in warm_ups if raises(movement)]),
        covering([movement for movement in warm_ups if not raises(movement)], loads),
        covering(cool_downs, loads),
    )
    _fill(today, first, later)
    draft = today.draft
    if not draft.parts:
        raise NothingToTrainError(tuple(barred))
    missed = [*barred, *kept, *_missed(draft, first, length)]
    blocks = tuple(part.block() for part in _in_order(draft))
    return Plan(blocks=blocks, seconds=draft.seconds + OPENING + CLOSING, left_out=tuple(missed))


def _first_skills(due: list[Due], wanted: int) -> tuple[list[Due], list[Due], list[Reason]]:
    """The day's skills, those to add if time is left, and those put off to keep arms fresh."""
    first: list[Due] = []
    later: list[Due] = []
    kept: list[Reason] = []
    taken = False
    for item in due:
        fresh = wants_fresh(item.movement)
        if fresh and taken:
            kept.append(Reason(id="left_out_fresh", values={"skill": item.skill.name}))
            continue
        taken = taken or fresh
        (first if len(first) < wanted else later).append(item)
    return first, later, kept if len(first) < wanted else []


def _fill(day: _Day, first: list[Due], later: list[Due]) -> None:
    draft = day.draft
    warm_most = min(WARM_UP_MOST, round(draft.budget * WARM_UP_SHARE))
    cool_most = min(COOL_DOWN_MOST, round(draft.budget * COOL_DOWN_SHARE))
    _around(day, Phase.WARM_UP, day.raising)
    mains = [_main(day, item, 1) for item in first[:1]]
    _around(day, Phase.COOL_DOWN, day.winding)
    _around(day, Phase.WARM_UP, day.moving)
    mains += [_main(day, item, 1) for item in first[1:2]]
    _grow([part for part in mains if part], draft, extra=0)
    for item in first[:2]:
        _rehearse(day, item)
    while _around(day, Phase.WARM_UP, day.moving, warm_most - draft.spent(Phase.WARM_UP)):
        pass
    while _around(day, Phase.COOL_DOWN, day.winding, cool_most - draft.spent(Phase.COOL_DOWN)):
        pass
    for item in first[2:]:
        _main_whole(day, item)
        _rehearse(day, item)
    _around(day, Phase.WARM_UP, day.raising)
    for item in first:
        _second(day, item)
    for item in later:
        if draft.left > TOLERANCE:
            _main_whole(day, item)
    _grow(draft.of(Phase.MAIN), draft, extra=1)
    if draft.left > 0:
        for part in draft.of(Phase.WARM_UP) + draft.of(Phase.COOL_DOWN):
            draft.stretch(part)


def _around(
    day: _Day, phase: Phase, movements: Iterator[Movement], limit: int | None = None
) -> bool:
    """The next movement before or after the main part, where there is one and it fits."""
    movement = next(movements, None)
    if movement is None:
        return False
    return day.draft.add(Part(movement, phase, target_for(movement)), limit)


def _main(day: _Day, item: Due, sets: int) -> Part | None:
    target = item.target.model_copy(update={"sets": sets})
    part = Part(item.movement, Phase.MAIN, target, item.skill.id, item.reason)
    part.stand_in = _stand_in(day, item.movement)
    return part if day.draft.add(part) else None


def _main_whole(day: _Day, item: Due) -> None:
    """With as many of the coach's sets as fit."""
    part = _main(day, item, 1)
    if part:
        _grow([part], day.draft, extra=0)


def _grow(parts: list[Part], draft: Draft, extra: int) -> None:
    """One set at a time, in turn, up to the coach's number and `extra` more."""
    growing = list(parts)
    while growing:
        for part in tuple(growing):
            most = min(10, part.movement.dosage.sets + extra)
            if part.target.sets >= most or not draft.retarget(
                part, part.with_sets(part.target.sets + 1)
            ):
                growing.remove(part)


def _rehearse(day: _Day, item: Due) -> None:
    """One set of something easier of the skill, as the end of the warm-up."""
    movement = rehearsal(day.index, item.movement, item.own)
    if movement is None or day.draft.uses(movement):
        return
    target = target_for(movement).model_copy(update={"sets": 1})
    reason = Reason(
        id="rehearses", values={"movement": movement.name, "next_movement": item.movement.name}
    )
    day.draft.add(Part(movement, Phase.WARM_UP, target, item.skill.id, reason))


def _second(day: _Day, item: Due) -> None:
    """A second movement of the skill, where one is near and needs no fresh arms."""
    used = frozenset(part.movement.id for part in day.draft.parts)
    found = day.index.nearest(item.movement.id, item.own, used | {item.movement.id}, offer=False)
    if found is None or day.draft.left <= TOLERANCE:
        return
    movement = day.index.catalogue.movements[found.movement]
    if movement.skill == item.skill.id and not wants_fresh(movement):
        part = Part(movement, Phase.MAIN, target_for(movement), item.skill.id)
        part.stand_in = _stand_in(day, movement)
        one = part.with_sets(1)
        if not day.draft.add(part):
            part.retarget(one)
            if day.draft.add(part):
                _grow([part], day.draft, extra=0)


def _stand_in(day: _Day, movement: Movement) -> str | None:
    """The spoken name of the stand-in that was accepted for the movement's equipment."""
    for item in movement.equipment:
        if item in day.conditions.stand_ins and item not in day.conditions.equipment:
            found = day.index.within_reach(item, day.conditions)
            return found.name if found else None
    return None


def _in_order(draft: Draft) -> list[Part]:
    """Warm-up (rehearsals last), the main part by `_turn`, cool-down."""
    warm = sorted(draft.of(Phase.WARM_UP), key=lambda part: part.skill is not None)
    main = sorted(draft.of(Phase.MAIN), key=lambda part: _turn(part.movement))
    return [*warm, *main, *draft.of(Phase.COOL_DOWN)]


def _turn(movement: Movement) -> int:
    """Skill before strength, and nothing that tires the arms before hanging or inverted work."""
    if not tires_arms(movement) and not wants_fresh(movement):
        balance = {Hazard.ROLLING, Hazard.LANDING}.intersection(movement.hazards)
        return 0 if balance else 2 if movement.dosage.kind == "hold" else 1
    if wants_fresh(movement):
        return 3
    return 5 if movement.dosage.kind == "hold" else 4


def _missed(draft: Draft, first: list[Due], length: int) -> Iterator[Reason]:
    """What did not fit: skills, sets, or minutes that nothing could fill."""
    trained = {part.skill: part for part in reversed(draft.of(Phase.MAIN))}
    for item in first:
        part = trained.get(item.skill.id)
        if part is None:
            yield Reason(
                id="left_out_no_time",
                values={"skill": item.skill.name, "movement": item.movement.name},
            )
        elif part.target.sets < item.target.sets:
            yield Reason(
                id="left_out_sets",
                values={
                    "movement": part.movement.name,
                    "sets": part.target.sets,
                    "of": item.target.sets,
                },
            )
    if draft.left > TOLERANCE:
        yield Reason(
            id="left_out_minutes",
            values={"minutes": length, "spare": draft.left // 60},
        )
