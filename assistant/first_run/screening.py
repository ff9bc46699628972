"""Whether a clinician should be asked before training: three facts, one piece of advice.

The decision goes by current activity, by signs or known disease, and by the intensity that is
wanted, as the ACSM's preparticipation screening does (Guidelines for Exercise Testing and
Prescription, 10th edition, chapter 2, read in excerpts; Riebe and others 2015). What exactly
follows from each combination is from memory, and where in doubt the more careful advice was taken.
It is advice in general terms, no examination.

>>> advice(Screening(active=False, condition=False, symptoms=False, intensity="moderate"))
'gently'
>>> advice(Screening(active=True, condition=True, symptoms=False, intensity="moderate"))
'vigorous'
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

Intensity = Literal["light", "moderate", "vigorous"]
INTENSITIES: tuple[Intensity, ...] = get_args(Intensity)

Advice = Literal["symptoms", "condition", "vigorous", "gently", "none"]


@dataclass(frozen=True)
class Screening:
    """`active`: on three days a week or more for three months. `condition`: a known disease of
    heart, vessels, metabolism or kidneys. `symptoms`: signs of one."""

    active: bool
    condition: bool
    symptoms: bool
    intensity: Intensity


def advice(found: Screening) -> Advice:
    """The id of the advice, the most careful that applies."""
    if found.symptoms:
        return "symptoms"
    if found.condition:
        # Whoever is used to training goes on at a moderate pace, and asks before training hard.
        return "vigorous" if found.active and found.intensity != "vigorous" else "condition"
    return "none" if found.active else "gently"
