"""How much of a movement: from the range the coach wrote to the target of one set.

>>> from catalogue.model import Hold, Range
>>> target = from_dosage(Hold(kind="hold", seconds=Range(low=30, high=45), sets=2, rest=40))
>>> target.seconds, target.sets, target.rest
(30, 2, 40)
>>> with_amount(target, 35).seconds
35
"""

from __future__ import annotations

from catalogue.model import Dosage, Movement, Range, Sides
from catalogue.plan import Target

_AMOUNTS = {
    "hold": "seconds",
    "work": "seconds",
    "reps": "reps",
    "reps_per_side": "per_side",
    "distance": "metres",
}


def range_of(dosage: Dosage) -> Range:
    """The dosage's range, whatever its kind; in seconds, repetitions or metres."""
    if dosage.kind == "hold" or dosage.kind == "work":
        return dosage.seconds
    if dosage.kind == "reps":
        return dosage.reps
    if dosage.kind == "reps_per_side":
        return dosage.per_side
    return dosage.metres


def from_dosage(dosage: Dosage, amount: int | None = None) -> Target:
    """A target of `amount`, kept within the range; the bottom of it where none is given."""
    span = range_of(dosage)
    wanted = span.low if amount is None else min(max(amount, span.low), span.high)
    name = _AMOUNTS[dosage.kind]
    return Target.model_validate({name: wanted, "sets": dosage.sets, "rest": dosage.rest})


def target_for(movement: Movement, amount: int | None = None) -> Target:
    """The target of a movement: `amount` within the coach's range, the bottom of it at first."""
    return from_dosage(movement.dosage, amount)


def amount_of(target: Target) -> int:
    """The one amount a target asks for."""
    return next(amount for amount in _amounts(target).values() if amount is not None)


def for_one_side(movement: Movement, amount: int) -> int:
    """What one side is asked for: half where the sides share a dosage, else all of it."""
    return max(1, round(amount / 2)) if movement.sides is Sides.SHARED else amount


def with_amount(target: Target, amount: int) -> Target:
    """The same target with another amount of the same kind."""
    name = next(name for name, known in _amounts(target).items() if known is not None)
    return target.model_copy(update={name: amount})


def _amounts(target: Target) -> dict[str, int | None]:
    return {
        "seconds": target.seconds,
        "reps": target.reps,
        "per_side": target.per_side,
        "metres": target.metres,
    }
