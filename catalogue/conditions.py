"""What today allows: equipment, space, what hurts, the athlete's level; and what it rules out.

>>> from catalogue.model import Level
>>> Conditions(levels={"hang": Level.ADVANCED}, ceiling=Level.BEGINNER).ceiling_for("crawl").value
'beginner'
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from math import ceil

from catalogue.model import BodyPart, Catalogue, Hazard, Level, Movement, Profile
from catalogue.reason import Reason

LEVELS: tuple[Level, ...] = tuple(Level)
STEPS_PER_LEVEL = 3
_INDEX = {level: index for index, level in enumerate(LEVELS)}


@dataclass(frozen=True)
class Conditions:
    """What there is today. Ids are catalogue ids.

    `stand_ins` holds equipment for which the athlete accepted a stand-in. `space` is clear
    metres. `levels` are the athlete's own, by skill; `ceiling` is the level of every skill not
    named there (None: no limit). `avoid` holds hazards that are left alone today.
    """

    equipment: frozenset[str] = frozenset()
    stand_ins: frozenset[str] = frozenset()
    hurting: frozenset[BodyPart] = frozenset()
    space: float = 3.0
    ceiling: Level | None = None
    levels: Mapping[str, Level] = field(default_factory=dict)
    avoid: frozenset[Hazard] = frozenset()

    @classmethod
    def of(cls, profile: Profile) -> Conditions:
        """The conditions of an ordinary day; a skill without a stated level is a beginner's."""
        return cls(
            equipment=frozenset(profile.equipment),
            space=profile.space,
            ceiling=Level.BEGINNER,
            levels=dict(profile.levels),
        )

    def without(self, *equipment: str) -> Conditions:
        """The same day with these pieces (and their stand-ins) missing."""
        gone = frozenset(equipment)
        return replace(self, equipment=self.equipment - gone, stand_ins=self.stand_ins - gone)

    def ceiling_for(self, skill: str | None) -> Level | None:
        return self.levels.get(skill, self.ceiling) if skill is not None else None


def level_index(level: Level) -> int:
    """0 for beginner, 1 for intermediate, 2 for advanced."""
    return _INDEX[level]


def rung(movement: Movement) -> int:
    """Where a main movement stands on its skill's ladder of nine, 0 the easiest.

    Warm-up and cool-down movements have no ladder: 0.
    """
    if movement.level is None or movement.step is None:
        return 0
    return _INDEX[movement.level] * STEPS_PER_LEVEL + movement.step - 1


def missing(movement: Movement, conditions: Conditions) -> tuple[str, ...]:
    """Equipment the movement needs and today lacks, in the movement's order."""
    return tuple(
        item
        for item in movement.equipment
        if item not in conditions.equipment and item not in conditions.stand_ins
    )


def possible(movement: Movement, conditions: Conditions) -> bool:
    """Whether the movement can be done today: `feasible` as a yes or no, for searches."""
    if movement.space > conditions.space:
        return False
    if conditions.hurting and not conditions.hurting.isdisjoint(movement.loads):
        return False
    if conditions.avoid and not conditions.avoid.isdisjoint(movement.hazards):
        return False
    return not movement.equipment or not missing(movement, conditions)


def within_level(movement: Movement, conditions: Conditions) -> bool:
    """Whether the movement is at or under the athlete's own level; true without a level."""
    if movement.level is None:
        return True
    ceiling = conditions.ceiling_for(movement.skill)
    return ceiling is None or level_index(movement.level) <= level_index(ceiling)


def offerable(movement: Movement, conditions: Conditions) -> bool:
    """Whether a coach would suggest it: it can be done and is not above the athlete."""
    return within_level(movement, conditions) and possible(movement, conditions)


def feasible(catalogue: Catalogue, movement: Movement, conditions: Conditions) -> Reason | None:
    """None where the movement can be done today, otherwise the first thing against it.

    What hurts is told before what is missing: it matters more and can not be mended today. The
    level plays no part: it bounds what is offered, not what can be done.
    """
    if possible(movement, conditions):
        return None
    name = movement.name
    for part in movement.loads:
        if part in conditions.hurting:
            return Reason(id="not_hurting", values={"movement": name, "part": part.value})
    for hazard in movement.hazards:
        if hazard in conditions.avoid:
            return Reason(id="not_hazard", values={"movement": name, "hazard": hazard.value})
    lacking = missing(movement, conditions)
    if lacking:
        equipment = catalogue.equipment[lacking[0]].name
        return Reason(id="not_without", values={"movement": name, "equipment": equipment})
    return Reason(id="not_space", values={"movement": name, "metres": ceil(movement.space)})
