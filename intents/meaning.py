"""What an utterance means: intent ids with slots, and whether to act on them.

>>> Meaning("log", {"seconds": 38}).slots["seconds"]
38
>>> Meaning("dance")
Traceback (most recent call last):
    ...
ValueError: unknown intent 'dance'
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal

INTENT_IDS: tuple[str, ...] = (
    "next", "back", "repeat", "pause", "resume", "start", "stop", "done", "finish",
    "easier", "harder", "lack", "have", "swap", "skip", "time_left", "whats_next",
    "explain", "cue", "safety", "came_off", "log", "effort", "pain", "unwell",
    "yes", "no", "louder", "quieter", "slower", "faster", "help", "more_rest", "undo",
    "less", "more", "other_voice",
)  # fmt: skip
"""The contract with everything outside this package; `none` stands for anything else."""

SAFETY_IDS = frozenset({"stop", "pain", "unwell"})
"""In scope everywhere, never asked about, never held back."""

SlotValue = str | int
Decision = Literal["act", "confirm", "pass"]


@dataclass(frozen=True)
class Meaning:
    """One intent with its slots.

    Slots: `equipment` (equipment id), `seconds`, `reps`, `metres`, `left`, `right`, `per_side`
    (amounts), `rpe` (0 to 10), `part` (body part), `level` (pain, 0 to 10).
    """

    id: str
    slots: Mapping[str, SlotValue] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if self.id != "none" and self.id not in INTENT_IDS:
            raise ValueError(f"unknown intent {self.id!r}")
        object.__setattr__(self, "slots", MappingProxyType(dict(self.slots)))

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Meaning):
            return NotImplemented
        return self.id == other.id and dict(self.slots) == dict(other.slots)

    def __hash__(self) -> int:
        return hash((self.id, tuple(sorted(self.slots.items()))))


@dataclass(frozen=True)
class Understanding:
    """One utterance understood: its text, meanings in spoken order, and what to do.

    `confidence` is 0 to 1. `decision` is `act`, `confirm` (ask first) or `pass` (not for us);
    with `pass` the meanings are empty or a single `none`.
    """

    text: str
    meanings: tuple[Meaning, ...]
    confidence: float
    decision: Decision
