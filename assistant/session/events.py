"""Facts with a time, in seconds since the session began: everything a session can learn.

An event carries what happened and never what to do. `at` never falls from one event to the next.
"""

from __future__ import annotations

from dataclasses import dataclass

from intents.meaning import Decision, Meaning


@dataclass(frozen=True)
class Started:
    at: float


@dataclass(frozen=True)
class Heard:
    """Something was said (or typed). `began` is when its first sound began."""

    at: float
    text: str
    meanings: tuple[Meaning, ...]
    confidence: float
    decision: Decision
    began: float
    typed: bool = False


@dataclass(frozen=True)
class TimerDue:
    """A timer of an effect `StartTimer` ran out. A stale id is ignored by the session."""

    at: float
    timer: str


@dataclass(frozen=True)
class SpeechFinished:
    """Speech with this tag ended; `whole` is False where it was cut short."""

    at: float
    tag: str
    whole: bool


@dataclass(frozen=True)
class AudioLost:
    """A device vanished: `microphone` or `loudspeaker`."""

    at: float
    device: str


@dataclass(frozen=True)
class AudioFound:
    at: float
    device: str


@dataclass(frozen=True)
class Resumed:
    """The program was started again after it broke off at `at` (the time of the last event)."""

    at: float
    away: float


@dataclass(frozen=True)
class InputEnded:
    """Nobody can answer any more (typed input or the recording ended)."""

    at: float


Event = Started | Heard | TimerDue | SpeechFinished | AudioLost | AudioFound | Resumed | InputEnded
