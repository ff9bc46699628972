"""What the check-in changes about the day: pain by part, energy and sleep, by stated rules.

>>> day = changes(Readiness(pain={BodyPart.WRIST: 4}, energy="low"))
>>> sorted(day.hurting), day.fewer_sets, day.stay
([<BodyPart.WRIST: 'wrist'>], 1, True)
>>> changes(Readiness(pain={BodyPart.KNEE: 6})).rest
True
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from catalogue.conditions import Conditions
from catalogue.model import BodyPart, Hazard
from catalogue.reason import Reason
from catalogue.step_rules import COMMON_PRACTICE, Rule

Energy = Literal["low", "normal", "high"]

SPARE_FROM = 3
REST_ABOVE = 5
SHORT_SLEEP = 6.0
"""Hours under which a night counts as short (judgement)."""

SHORTER = 0.75
"""The share of the minutes that a low day is planned for (judgement)."""

READINESS_RULES: dict[str, Rule] = {
    "pain_watched": Rule(
        f"pain under {SPARE_FROM}: train, and watch the part",
        "the stricter of two bands published for pain in training, read in secondary sources",
    ),
    "pain_spared": Rule(
        f"pain from {SPARE_FROM} to {REST_ABOVE}: leave alone what loads the part",
        "stricter than the same bands, which allow to go on at the same level: nobody watches here",
    ),
    "pain_rest": Rule(
        f"pain above {REST_ABOVE}: no training today, ask again the next morning",
        "the same bands",
    ),
    "low": Rule(
        "little energy or a short night: three quarters of the time, one set less of each "
        "movement, the bottom of each range",
        COMMON_PRACTICE,
    ),
    "low_twice": Rule(
        "little energy and a short night: no inverted work and no jumps either",
        COMMON_PRACTICE,
    ),
}


@dataclass(frozen=True)
class Readiness:
    """The answers of a check-in. `pain` is 0 to 10 by part, `sleep` hours where known."""

    pain: Mapping[BodyPart, int] = field(default_factory=dict)
    energy: Energy = "normal"
    sleep: float | None = None

    def __post_init__(self) -> None:
        wrong = [part.value for part, level in self.pain.items() if not 0 <= level <= 10]
        if wrong:
            raise ValueError(f"pain in the {wrong[0]} is not between 0 and 10")


@dataclass(frozen=True)
class Changes:
    """What is different today. `rest`: no training at all. `stay`: the bottom of each range.

    `fewer_sets` comes off every main movement that has more than one; `share` is the part of the
    minutes to plan for.
    """

    rest: bool = False
    hurting: frozenset[BodyPart] = frozenset()
    avoid: frozenset[Hazard] = frozenset()
    fewer_sets: int = 0
    stay: bool = False
    share: float = 1.0
    reasons: tuple[Reason, ...] = ()

    def applied(self, conditions: Conditions) -> Conditions:
        """The conditions with what hurts and what is left alone today."""
        return replace(
            conditions,
            hurting=conditions.hurting | self.hurting,
            avoid=conditions.avoid | self.avoid,
        )


def changes(readiness: Readiness) -> Changes:
    """The day's changes by `READINESS_RULES`; the worst pain is told first."""
    worst_first = sorted(readiness.pain.items(), key=lambda item: (-item[1], item[0]))
    said: list[Reason] = []
    for part, level in worst_first:
        rule = _band(level)
        if rule:
            said.append(Reason(id=f"day_{rule}", values={"part": part.value, "level": level}))
    tired = readiness.energy == "low"
    short = readiness.sleep is not None and readiness.sleep < SHORT_SLEEP
    low = tired or short
    if low:
        said.append(Reason(id=f"day_{'low_twice' if tired and short else 'low'}"))
    return Changes(
        rest=any(level > REST_ABOVE for level in readiness.pain.values()),
        hurting=frozenset(part for part, level in readiness.pain.items() if level >= SPARE_FROM),
        avoid=frozenset({Hazard.INVERTED, Hazard.LANDING}) if tired and short else frozenset(),
        fewer_sets=1 if low else 0,
        stay=low,
        share=SHORTER if low else 1.0,
        reasons=tuple(said),
    )


def _band(level: int) -> str | None:
    if level > REST_ABOVE:
        return "pain_rest"
    if level >= SPARE_FROM:
        return "pain_spared"
    return "pain_watched" if level > 0 else None
