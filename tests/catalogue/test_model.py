"""What the models let in and keep out."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from catalogue.model import Movement, Profile, Range, Support

RAW: dict[str, Any] = {
    "id": "low",
    "name": "low walk",
    "skill": "balance",
    "level": "beginner",
    "step": 1,
    "dosage": {"kind": "hold", "seconds": [30, 45]},
    "set_up": ["Stand."],
    "cues": [{"text": "Look ahead.", "focus": "outside"}, {"text": "Be tall.", "focus": "body"}],
}


def refused(**changes: Any) -> str:
    with pytest.raises(ValidationError) as caught:
        Movement.model_validate({**RAW, **changes})
    return str(caught.value)


def test_a_pair_of_numbers_is_a_range() -> None:
    assert Range.model_validate([30, 45]) == Range(low=30, high=45)
    assert Range.model_validate({"low": 3, "high": 3}) == Range(low=3, high=3)
    for wrong in ([30], [30, 45, 60], 30, [0, 3], [3, 601], [45, 30]):
        with pytest.raises(ValidationError):
            Range.model_validate(wrong)


def test_a_written_range_is_read_again() -> None:
    movement = Movement.model_validate(RAW)
    assert Movement.model_validate_json(movement.model_dump_json()) == movement


def test_a_movement_must_be_whole() -> None:
    assert "needs `step`" in refused(step=None)
    assert "safety note" in refused(hazards=["hanging"])
    assert "sides" in refused(dosage={"kind": "reps_per_side", "per_side": [5, 6]})
    told = refused(phase="warm_up")
    assert all(f"has no `{field}`" in told for field in ("skill", "level", "step"))


def test_a_movement_cannot_be_changed() -> None:
    with pytest.raises(ValidationError):
        Movement.model_validate(RAW).name = "other"


def test_on_the_knees_the_feet_are_not_raised() -> None:
    assert Support(hands=0.4).feet == 0.0
    for wrong in ({"feet": 0.4}, {"wall": True}):
        with pytest.raises(ValidationError, match="on the knees"):
            Support.model_validate({"knees": True, **wrong})
    with pytest.raises(ValidationError):
        Support(feet=3.0)


def test_a_profile_has_bounds() -> None:
    assert Profile(athlete="Robin").minutes == 30
    for wrong in (
        {"minutes": 3},
        {"rate": 500},
        {"volume": 1.1},
        {"levels": {"Balance": "beginner"}},
    ):
        with pytest.raises(ValidationError):
            Profile.model_validate({"athlete": "Robin", **wrong})
