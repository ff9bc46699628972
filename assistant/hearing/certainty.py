"""How sure it is that a phrase was said, from all that speaks for it and against.

Six things are told of a phrase that the network read: how likely it is in the sound, how much
likelier than in the noise of the room, by how much it is before the other phrases, how far it is,
sound by sound, from what each of the two decoders heard, and how sure the detector of voices was
that there was one. Each alone is fooled by something: noise in which any text is as likely, other
speech that is like a phrase. They are weighed by a logistic regression over phrases, noise and
other speech, so the certainty is a probability there.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Final

import numpy as np
from numpy.typing import NDArray

from assistant.hearing.phrase_search import Reading

Things = NDArray[np.float64]

BOUNDS: Final = ((-20.0, 0.0), (-5.0, 30.0), (-6.0, 6.0), (0.0, 1.0), (0.0, 1.0), (0.7, 1.0))
"""Beyond these, more of a thing says no more."""


@dataclass(frozen=True)
class Certainty:
    """`weights` of the six things in the order that `told` has, and what they begin from."""

    weights: tuple[float, ...]
    offset: float

    def of(self, told: Things) -> float:
        """0 to 1.

        >>> Certainty((0.5, 0, 0, 0, 0, 0), 1.0).of(np.array([-2.0, 0.0, 0.0, 0.0, 0.0, 1.0]))
        0.5
        """
        return float(1 / (1 + np.exp(-(told @ np.array(self.weights) + self.offset))))


def told(reading: Reading, from_strict: float, from_open: float, voice: float) -> Things:
    """The six things of a reading, whose phones differ from those that the decoders heard by these
    shares, and of how sure it is that it was a voice (0 to 1)."""
    things = (reading.likely, reading.heard, reading.lead, from_strict, from_open, voice)
    low, high = zip(*BOUNDS, strict=True)
    out: Things = np.clip(np.array(things), low, high)
    return out


def agreed(things: Things) -> bool:
    """Whether both decoders heard the same."""
    return not things[3:5].any()


@cache
def certainty() -> Certainty:
    """As it comes with the package."""
    text = resources.files("assistant.hearing").joinpath("certainty.toml").read_text("utf-8")
    table = tomllib.loads(text)
    return Certainty(tuple(table["weights"]), table["offset"])
