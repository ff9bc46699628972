"""How much of a movement: from the range the coach wrote to the target of one set.

>>> from catalogue.model import Hold, Range
>>> target = from_dosage(Hold(kind="hold", seconds=Range(low=30, high=45), sets=2, rest=40))
>>> target.seconds, target.sets, target.rest
(30, 2, 40)
"""

from __future__ import annotations

from catalogue.model import Dosage, Movement, Range
from catalogue.plan import Target


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
    if dosage.kind == "hold" or dosage.kind == "work":
        return Target(seconds=wanted, sets=dosage.sets, rest=dosage.rest)
    if dosage.kind == "reps":
        return Target(reps=wanted, sets=dosage.sets, rest=dosage.rest)
    if dosage.kind == "reps_per_side":
        return Target(per_side=wanted, sets=dosage.sets, rest=dosage.rest)
    return Target(metres=wanted, sets=dosage.sets, rest=dosage.rest)


def amount_of(target: Target) -> int:
    """The one amount a target asks for."""
    for amount in (target.seconds, target.reps, target.per_side, target.metres):
        if amount is not None:
            return amount
    raise ValueError("a target without an amount")


def target_for(movement: Movement, amount: int | None = None) -> Target:
    """The target of a movement: `amount` within the coach's range, the bottom of it at first."""
    return from_dosage(movement.dosage, amount)
