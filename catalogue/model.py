"""What can be trained: the data that a coach writes, as checked and frozen models.

>>> hold = Hold(kind="hold", seconds=Range(low=30, high=45), sets=2, rest=45)
>>> hold.seconds.high
45
>>> Range(low=45, high=30)  # doctest: +ELLIPSIS
Traceback (most recent call last):
    ...
pydantic_core._pydantic_core.ValidationError: 1 validation error for Range
  Value error, low 45 is above high 30: swap them [type=value_error, ...
"""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from catalogue.rules import movement_faults

Id = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$", max_length=60)]
Spoken = Annotated[str, Field(min_length=1, max_length=60)]
Sentence = Annotated[str, Field(min_length=3, max_length=240)]


class Level(StrEnum):
    BEGINNER = "beginner"
    INTERMEDIATE = "intermediate"
    ADVANCED = "advanced"


Detail = Literal["brief", "usual", "full"]
"""How much the coach says, from the fewest words to the most."""


class Phase(StrEnum):
    """Which part of a session a movement belongs to."""

    WARM_UP = "warm_up"
    MAIN = "main"
    COOL_DOWN = "cool_down"


class BodyPart(StrEnum):
    """Parts that a movement loads and that an athlete can report as painful."""

    NECK = "neck"
    SHOULDER = "shoulder"
    ELBOW = "elbow"
    WRIST = "wrist"
    HAND = "hand"
    BACK = "back"
    HIP = "hip"
    KNEE = "knee"
    ANKLE = "ankle"
    FOOT = "foot"


class Hazard(StrEnum):
    """Why a movement needs a caution that cannot be skipped the first time."""

    INVERTED = "inverted"
    HANGING = "hanging"
    RAISED = "raised"
    ROLLING = "rolling"
    LANDING = "landing"


class Sides(StrEnum):
    """How a movement treats left and right.

    NONE: no sides. EACH: the whole dosage on the left, then on the right.
    SHARED: one dosage, half of it on each side, with a change called half-way.
    """

    NONE = "none"
    EACH = "each"
    SHARED = "shared"


class Frozen(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Range(Frozen):
    """A closed range of whole numbers; the unit is the owner's."""

    low: int = Field(ge=1, le=600)
    high: int = Field(ge=1, le=600)

    @model_validator(mode="before")
    @classmethod
    def _from_pair(cls, value: object) -> object:
        """A coach writes `seconds = [30, 45]`; a single pair of numbers is a range."""
        if isinstance(value, list | tuple) and len(value) == 2:
            return {"low": value[0], "high": value[1]}
        return value

    @model_validator(mode="after")
    def _right_way_up(self) -> Range:
        if self.low > self.high:
            raise ValueError(f"low {self.low} is above high {self.high}: swap them")
        return self


class _Sets(Frozen):
    sets: int = Field(default=2, ge=1, le=10)
    rest: int = Field(default=45, ge=0, le=300, description="seconds between sets")


class Hold(_Sets):
    """Keep one position for a time, in seconds."""

    kind: Literal["hold"]
    seconds: Range


class Work(_Sets):
    """Move without stopping for a time, in seconds."""

    kind: Literal["work"]
    seconds: Range


class Reps(_Sets):
    """Count repetitions."""

    kind: Literal["reps"]
    reps: Range


class RepsPerSide(_Sets):
    """Count repetitions (turns) on each side."""

    kind: Literal["reps_per_side"]
    per_side: Range


class Distance(_Sets):
    """Cover a distance, in metres."""

    kind: Literal["distance"]
    metres: Range


Dosage = Annotated[Hold | Work | Reps | RepsPerSide | Distance, Field(discriminator="kind")]


class StandIn(Frozen):
    """Something a household has that may take an item's place, and on what condition."""

    name: Spoken
    item: Id | None = Field(default=None, description="set where the stand-in is itself equipment")
    condition: Sentence


class Equipment(Frozen):
    """A piece of equipment, how it is spoken of, and what may or may never replace it."""

    id: Id
    name: Spoken
    also: tuple[Spoken, ...] = ()
    stand_ins: tuple[StandIn, ...] = ()
    never: tuple[Spoken, ...] = Field(default=(), description="things that are no stand-in")
    never_because: Sentence | None = None


class Skill(Frozen):
    """One of the skills that a session can train."""

    id: Id
    name: Spoken
    also: tuple[Spoken, ...] = ()


class Cue(Frozen):
    """One sentence said during practice; `focus` is where it puts the attention."""

    text: Sentence
    focus: Literal["outside", "body"]


class Support(Frozen):
    """How the body is held up by hands and feet: what the load on the hands follows from.

    `hands` and `feet` are heights in metres over the floor. `knees`: the knees rest on the floor
    instead of the feet. `bent`: the elbows are bent. `wall`: the feet stand against a wall.
    """

    hands: float = Field(default=0.0, ge=0.0, le=1.5)
    feet: float = Field(default=0.0, ge=0.0, le=2.5)
    knees: bool = False
    bent: bool = False
    wall: bool = False

    @model_validator(mode="after")
    def _possible(self) -> Support:
        if self.knees and (self.feet > 0 or self.wall):
            raise ValueError("on the knees the feet are not raised: take out feet and wall")
        return self


class Links(Frozen):
    """Ids of neighbouring movements. `easier_because` tells why the regression is easier."""

    regress: Id | None = None
    progress: Id | None = None
    alternative: tuple[Id, ...] = ()
    easier_because: Sentence | None = None


class Movement(Frozen):
    """One movement as a coach describes it.

    `space` is the clear floor length in metres. `skill`, `level` and `step` (1 to 3 in the
    level) are set for main movements and left out for warm-up and cool-down. `combination` marks
    several movements joined in one longer set. `support` is set where hands and feet carry.
    """

    id: Id
    name: Spoken
    also: tuple[Spoken, ...] = ()
    phase: Phase = Phase.MAIN
    skill: Id | None = None
    level: Level | None = None
    step: int | None = Field(default=None, ge=1, le=3)
    dosage: Dosage
    combination: bool = False
    sides: Sides = Sides.NONE
    equipment: tuple[Id, ...] = ()
    space: float = Field(default=2.0, ge=0.5, le=30.0)
    set_up: tuple[Sentence, ...] = Field(min_length=1, max_length=4)
    cues: tuple[Cue, ...] = Field(min_length=2, max_length=8)
    safety: tuple[Sentence, ...] = ()
    hazards: tuple[Hazard, ...] = ()
    loads: tuple[BodyPart, ...] = ()
    support: Support | None = None
    links: Links = Links()

    @model_validator(mode="after")
    def _whole(self) -> Movement:
        faults = movement_faults(
            phase=self.phase.value,
            skill=self.skill,
            level=self.level,
            step=self.step,
            hazards=bool(self.hazards),
            safety=bool(self.safety),
            dosage=self.dosage.kind,
            sides=self.sides.value,
        )
        if faults:
            raise ValueError("; ".join(map(str, faults)))
        return self


class Catalogue(Frozen):
    """Everything that can be trained; ids are unique and every link resolves."""

    name: Spoken
    equipment: dict[str, Equipment]
    skills: dict[str, Skill]
    movements: dict[str, Movement]


class Profile(Frozen):
    """One athlete: what they can do, what they have, how they want to be spoken to."""

    athlete: Spoken
    levels: dict[Id, Level] = Field(default_factory=dict, description="by skill id")
    equipment: tuple[Id, ...] = ()
    space: float = Field(default=3.0, ge=0.5, le=100.0, description="clear metres")
    minutes: int = Field(default=30, ge=5, le=120)
    units: Literal["metric", "imperial"] = "metric"
    language: str = "en"
    voice: str | None = None
    rate: int = Field(default=165, ge=80, le=300, description="words a minute")
    volume: float = Field(default=0.9, ge=0.0, le=1.0)
    detail: Detail = "usual"
    bend: float = Field(
        default=1.0, ge=0.88, le=1.18, description="of the voice's frequencies: cuewalk reading"
    )
