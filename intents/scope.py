"""What may be said at one point of a session."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from intents.meaning import INTENT_IDS, SAFETY_IDS

Bare = Literal["rpe", "level", "amount", "part", "equipment"]
"""What a bare answer stands for where a question was asked: "seven" after "how hard was it?"."""


@dataclass(frozen=True)
class Scope:
    """The meanings that are heard at a node of the session graph.

    `bare` names the answers that need no command word there: a number as `rpe` (effort), `level`
    (pain), `amount` (log; seconds or reps by the movement), a body `part`, or a piece of
    `equipment` (lack).  `bare_unit` says what a bare or unit-less amount counts.
    """

    name: str
    meanings: frozenset[str]
    bare: frozenset[Bare] = frozenset()
    bare_unit: Literal["seconds", "reps", "per_side", "metres"] = "seconds"

    def __post_init__(self) -> None:
        unknown = self.meanings - set(INTENT_IDS)
        if unknown:
            raise ValueError(f"scope {self.name!r} names unknown intents {sorted(unknown)}")
        object.__setattr__(self, "meanings", self.meanings | SAFETY_IDS)


EVERYTHING = Scope("everything", frozenset(INTENT_IDS))
