"""What the first session will be, told by part: planned as `cuewalk train` plans it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from catalogue.history import History
from catalogue.model import BodyPart, Catalogue, Phase, Profile
from catalogue.plan import Plan
from catalogue.planning import NothingToTrainError, plan_session
from catalogue.readiness import REST_ABOVE, Readiness, changes
from catalogue.standing import conditions_for
from intents.lines import Line, Lines


@dataclass(frozen=True)
class First:
    """Lines about the session, and whether there is one today: `rest` where something hurts too
    much, `nothing` where none can be made."""

    lines: tuple[Line, ...]
    today: Literal["yes", "rest", "nothing"]


def first_session(
    catalogue: Catalogue,
    profile: Profile,
    past: History,
    aches: Mapping[BodyPart, int],
    now: datetime,
    lines: Lines,
) -> First:
    """The session: minutes, movements by part, what is spared; or why there is none."""
    readiness = Readiness(pain=aches)
    try:
        plan = plan_session(
            catalogue,
            profile,
            conditions_for(catalogue, profile, past),
            past,
            day=now.date().toordinal(),
            readiness=readiness,
        )
    except NothingToTrainError as error:
        why = " ".join(
            lines.render(Line(f"reason.{reason.id}", dict(reason.values)))
            for reason in error.reasons[:3]
        )
        hurts = any(level > REST_ABOVE for level in aches.values())
        told = Line("begin.rest_today" if hurts else "begin.nothing", {"why": why})
        return First((told,), "rest" if hurts else "nothing")
    minutes = max(1, round(plan.seconds / 60))
    told = Line("begin.session", {"minutes": minutes, "count": len(plan.blocks)})
    spared = sorted(changes(readiness).hurting)
    return First(
        (
            told,
            *_parts(catalogue, plan),
            *(Line("begin.spared", {"part": part.value}) for part in spared),
        ),
        "yes",
    )


def _parts(catalogue: Catalogue, plan: Plan) -> Iterator[Line]:
    for phase in Phase:
        names = [catalogue.movements[b.movement].name for b in plan.blocks if b.phase is phase]
        if names:
            yield Line("begin.phase", {"phase": phase.value, "names": tuple(dict.fromkeys(names))})
