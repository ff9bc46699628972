"""Orders without answers: everything a session can ask the world to do.

Whatever comes of an order arrives later as an event.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from assistant.session.facts import Fact
from intents.lines import Line
from intents.scope import Scope

Mark = Literal["heard", "not_understood", "count", "go", "end", "half"]


@dataclass(frozen=True)
class Say:
    """Speak a line after what is queued; `ends_at` schedules its end on a mark."""

    tag: str
    line: Line
    interruptible: bool = True
    ends_at: float | None = None


@dataclass(frozen=True)
class Hush:
    """Fall silent at once and forget what is queued."""


@dataclass(frozen=True)
class Beep:
    """An earcon whose first sample sounds at `due`."""

    mark: Mark
    due: float


@dataclass(frozen=True)
class DropMarks:
    """Forget the marks that have not sounded yet."""


@dataclass(frozen=True)
class StartTimer:
    timer: str
    due: float


@dataclass(frozen=True)
class Record:
    fact: Fact


@dataclass(frozen=True)
class Listen:
    """From now on these meanings are in scope."""

    scope: Scope


@dataclass(frozen=True)
class SetVoice:
    """Change of loudness (0 to 1), rate (words a minute) or voice (one of the setting's)."""

    volume: float
    rate: int
    voice: str


@dataclass(frozen=True)
class Show:
    """What to show large: a word for the state, and the moment it counts down to, if any."""

    headline: str
    until: float | None = None


@dataclass(frozen=True)
class End:
    how: str


Effect = Say | Hush | Beep | DropMarks | StartTimer | Record | Listen | SetVoice | Show | End
