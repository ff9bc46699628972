"""A whole session from what is known: warm-up, main part, cool-down, within the minutes.

`catalogue.filling` has the order in which time is given out. What did not fit is told.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from catalogue.around import covering, loads_of, raises, within_reach
from catalogue.conditions import Conditions
from catalogue.draft import Draft
from catalogue.filling import TOLERANCE, Day, fill
from catalogue.history import History
from catalogue.model import Catalogue, Phase, Profile
from catalogue.order import in_order
from catalogue.pace import Talk
from catalogue.plan import Plan
from catalogue.readiness import Readiness, changes
from catalogue.reason import Reason
from catalogue.substitute import substituter
from catalogue.today import Due, due_today, wants_fresh

MINUTES_A_SKILL = 20
"""One more skill than two for each of these minutes after the first forty (judgement)."""


class NothingToTrainError(Exception):
    """Nothing in the catalogue can be done today; `reasons` tell what stands against it."""

    def __init__(self, reasons: tuple[Reason, ...]) -> None:
        super().__init__("nothing in the catalogue can be done under these conditions")
        self.reasons = reasons


def plan_session(
    catalogue: Catalogue,
    profile: Profile,
    conditions: Conditions,
    history: History = History(),  # noqa: B008 - frozen
    day: int = 0,
    minutes: int | None = None,
    readiness: Readiness | None = None,
    earlier: Sequence[tuple[int, Plan]] = (),
    talk: Talk | None = None,
) -> Plan:
    """Plan one session.

    `day` is the date's ordinal, `minutes` the time there is (the profile's where None),
    `readiness` the answers of a check-in. `earlier` are plans for days since the history, as yet
    undone. `talk` is how much the coach will say; where None, it follows from profile and history.
    The same arguments always give the same plan. Raises `NothingToTrainError` where
    nothing can be done, or where the answers ask for a day of rest.
    """
    today = changes(readiness or Readiness())
    if today.rest:
        raise NothingToTrainError(today.reasons)
    conditions = today.applied(conditions)
    index = substituter(catalogue)
    due, barred = due_today(index, profile, conditions, history, day, earlier)
    if not due:
        raise NothingToTrainError((*today.reasons, *barred))
    length = minutes if minutes is not None else profile.minutes
    wanted = 2 + max(0, length - 2 * MINUTES_A_SKILL) // MINUTES_A_SKILL
    first, later, put_off = _first_skills(due, wanted)
    loads = loads_of(item.movement for item in first)
    warm_ups = within_reach(catalogue, Phase.WARM_UP, conditions, day)
    cool_downs = within_reach(catalogue, Phase.COOL_DOWN, conditions, day)
    talk = talk or Talk.to(profile, history, day)
    around = talk.opening() + talk.closing()
    draft = Draft(max(0, round(length * 60 * today.share) - around), talk)
    fill(
        Day(
            index,
            conditions,
            history,
            today,
            draft,
            warm_ups,
            iter([movement for movement in warm_ups if raises(movement)]),
            covering([movement for movement in warm_ups if not raises(movement)], loads),
            covering(cool_downs, loads),
        ),
        first,
        later,
    )
    missed = (*today.reasons, *_missed(draft, first, length), *put_off, *barred)
    if not draft.of(Phase.MAIN):
        raise NothingToTrainError(missed)
    blocks = tuple(part.block() for part in in_order(draft))
    return Plan(blocks=blocks, seconds=draft.seconds + around, left_out=missed)


def _first_skills(due: list[Due], wanted: int) -> tuple[list[Due], list[Due], list[Reason]]:
    """The day's skills, those to add if time is left, and those put off to keep arms fresh."""
    first: list[Due] = []
    later: list[Due] = []
    put_off: list[Reason] = []
    taken = False
    for item in due:
        fresh = wants_fresh(item.movement)
        if fresh and taken:
            put_off.append(Reason(id="left_out_fresh", values={"skill": item.skill.name}))
            continue
        taken = taken or fresh
        (first if len(first) < wanted else later).append(item)
    return first, later, put_off if len(first) < wanted else []


def _missed(draft: Draft, first: list[Due], length: int) -> Iterator[Reason]:
    """What did not fit: skills, sets, or minutes that nothing could fill."""
    for item in first:
        part = next((part for part in draft.of(Phase.MAIN) if part.movement is item.movement), None)
        if part is None:
            yield Reason(
                id="left_out_no_time",
                values={"skill": item.skill.name, "movement": item.movement.name},
            )
        elif part.target.sets < part.most:
            yield Reason(
                id="left_out_sets",
                values={
                    "movement": part.movement.name,
                    "sets": part.target.sets,
                    "of": part.most,
                },
            )
    if draft.parts and draft.left > TOLERANCE:
        yield Reason(
            id="left_out_minutes", values={"minutes": length, "spare": round(draft.left / 60)}
        )
