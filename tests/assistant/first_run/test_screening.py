"""Who is sent to a clinician first.

The published algorithm decides by activity, disease or signs, and intensity (ACSM's Guidelines for
Exercise Testing and Prescription, 10th edition, chapter 2, seen in excerpts). Its cells are from
memory here: signs always lead to a clinician; a known disease does where one is not active, or
wants to train hard; without either nobody is sent. Ours may be more careful and never less.
"""

from __future__ import annotations

import doctest
from itertools import product

import pytest

from assistant.commands.begin import begin_lines
from assistant.first_run import screening
from assistant.first_run.screening import INTENSITIES, Intensity, Screening, advice
from intents.lines import Line

SENT = {"symptoms", "condition", "vigorous"}


def published(found: Screening) -> bool:
    """Whether clearance is recommended (from memory, see above)."""
    if found.symptoms:
        return True
    return found.condition and (not found.active or found.intensity == "vigorous")


def test_examples() -> None:
    assert doctest.testmod(screening).failed == 0


@pytest.mark.parametrize(
    ("active", "condition", "symptoms", "intensity"),
    list(product((True, False), (True, False), (True, False), INTENSITIES)),
)
def test_nobody_is_sent_home_without_advice(
    active: bool, condition: bool, symptoms: bool, intensity: Intensity
) -> None:
    found = Screening(active, condition, symptoms, intensity)
    given = advice(found)
    if published(found):
        assert given in SENT
    if not (condition or symptoms):
        assert given not in SENT
    if not active and not condition and not symptoms:
        assert given == "gently"
    assert begin_lines("en").render(Line(f"begin.advice_{given}"))
