"""What a session puts on record beside its events. Corrections append; nothing is overwritten."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

Side = Literal["none", "left", "right"]
Source = Literal["timer", "said", "target"]
"""Where an amount comes from: the clock, the athlete's words, or the plan ("done" alone)."""


@dataclass(frozen=True)
class SetLogged:
    """One set (of one side) was done. Exactly one amount is set.

    `set_id` is unique in the session; `target` is the amount asked for in the same unit;
    `came_off` counts steps off in it; `whole` is False where it was broken off.
    """

    set_id: int
    movement: str
    number: int
    side: Side
    target: int
    source: Source
    seconds: float | None = None
    reps: int | None = None
    metres: int | None = None
    came_off: int = 0
    whole: bool = True


@dataclass(frozen=True)
class SetCorrected:
    """The athlete said what the set really was."""

    set_id: int
    seconds: float | None = None
    reps: int | None = None
    metres: int | None = None


@dataclass(frozen=True)
class SetUndone:
    """The set does not count (`undo`)."""

    set_id: int


@dataclass(frozen=True)
class CorrectionUndone:
    """The last correction of the set does not count; what it was before does."""

    set_id: int


@dataclass(frozen=True)
class EffortLogged:
    """RPE 0 to 10 for a movement, or for the whole session where `movement` is None."""

    movement: str | None
    rpe: int


@dataclass(frozen=True)
class PainReported:
    part: str | None
    level: int | None
    movement: str | None


@dataclass(frozen=True)
class UnwellReported:
    movement: str | None


@dataclass(frozen=True)
class Swapped:
    """Another movement took a movement's place, and why: a sentence,
    a stand-in's name, or nothing where the cause says it all."""

    before: str
    after: str | None
    cause: Literal["lack", "easier", "harder", "swap", "pain", "skip", "came_off"]
    why: str


@dataclass(frozen=True)
class CheckedIn:
    pain: int
    parts: tuple[str, ...]
    energy_normal: bool
    lacking: tuple[str, ...]


@dataclass(frozen=True)
class CautionsHeard:
    """A caution was said in full; `movement` is None for the session's own."""

    movement: str | None


@dataclass(frozen=True)
class CautionsAccepted:
    """The athlete heard the session's cautions in full and will keep to them; `text` is the
    digest of their wording, so that other cautions are asked about anew."""

    text: str


@dataclass(frozen=True)
class SafeguardAnswered:
    """Whether what work of this hazard needs (a tested bar, a spotter, a clear place to fall) was
    there, as the athlete said before the first set."""

    movement: str
    hazard: str
    met: bool


@dataclass(frozen=True)
class ReturnChosen:
    """The athlete was unwell earlier on this day and chose on screen to train all the same."""


@dataclass(frozen=True)
class Chosen:
    """How the athlete wants to be spoken to from now on, as they said: a field of the profile, and
    its value as text."""

    what: Literal["detail", "voice", "volume", "rate"]
    value: str


How = Literal["done", "finished", "unwell", "pain", "left"]
"""How a session ends: all done, finished by the athlete, unwell, in pain, or left unanswered."""


@dataclass(frozen=True)
class SessionEnded:
    """How it ended, and what comes next time."""

    how: How
    next_time: tuple[str, ...] = field(default=())


Fact = (
    SetLogged | SetCorrected | SetUndone | CorrectionUndone | EffortLogged | PainReported
    | UnwellReported | Swapped | CheckedIn | CautionsHeard | CautionsAccepted | SafeguardAnswered
    | ReturnChosen | Chosen | SessionEnded
)  # fmt: skip
