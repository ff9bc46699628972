"""How well what two decoders heard agrees, in phones, and what that is worth.

The strict decoder must answer with a phrase; the open one may answer with everyday words. "Reps"
against "rest" is one sound apart and the same thing heard twice; "what can I say" against "bring
attack rest" is other speech forced into a phrase.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources

import numpy as np
from rapidfuzz.distance import Levenshtein


@dataclass(frozen=True)
class Calibration:
    """`most` is the difference at which speech stops being a phrase, `confidence` the share of
    right phrases at a difference, as pairs. How much better the phrase fits the sound than the
    other reading is judged too, in the decoder's units per frame: from `fits` on it is a phrase
    however different the readings are, up to `misfits` it is none however alike."""

    most: float
    confidence: tuple[tuple[float, float], ...]
    fits: float
    misfits: float

    def is_phrase(self, apart: float, ratio: float | None, clear: bool = True) -> bool:
        """The judgement over a whole utterance; `ratio` is None where it could not be told. Only
        where the sound is `clear` of noise does it say by itself that it is the phrase.

        >>> found = Calibration(0.5, (), fits=-1.0, misfits=-8.0)
        >>> found.is_phrase(0.2, -3.0), found.is_phrase(0.2, -9.0), found.is_phrase(0.9, -0.5)
        (True, False, True)
        """
        if ratio is None:
            return apart <= self.most
        fits = clear and ratio >= self.fits
        return fits or (apart <= self.most and ratio > self.misfits)

    def worth(self, apart: float) -> float:
        """Confidence, 0 to 1, in a phrase whose two readings are this far apart.

        >>> Calibration(0.5, ((0.0, 1.0), (1.0, 0.0)), fits=-1.0, misfits=-8.0).worth(0.25)
        0.75
        """
        at, share = zip(*self.confidence, strict=True)
        return float(np.interp(apart, at, share))


@cache
def calibration(engine: str) -> Calibration:
    """The calibration that comes with the package."""
    text = resources.files("assistant.hearing").joinpath("calibration.toml").read_text("utf-8")
    table = tomllib.loads(text)[engine]
    return Calibration(
        table["most"],
        tuple((a, b) for a, b in table["confidence"]),
        table["fits"],
        table["misfits"],
    )


def difference(strict: list[str], free: list[str]) -> float:
    """Phones to change between two readings, as a share of the strict one; 1 at most.

    >>> difference("R EH P S".split(), "R EH S T".split())
    0.5
    """
    if not strict:
        return 1.0
    return min(1.0, Levenshtein.distance(strict, free) / len(strict))
