"""What to do instead, and what is easier or harder: the questions a session asks.

`catalogue.substituter` has the search; here the index of the last catalogue is kept.
"""

from __future__ import annotations

from catalogue.conditions import Conditions, feasible
from catalogue.model import Catalogue
from catalogue.reason import Reason
from catalogue.substituter import Substituter, Substitution, stand_ins_for

__all__ = [
    "Conditions",
    "Substituter",
    "Substitution",
    "easier",
    "feasible",
    "harder",
    "nearest",
    "stand_ins_for",
    "substituter",
]

_last: Substituter | None = None


def substituter(catalogue: Catalogue) -> Substituter:
    """The index of a catalogue; the last one built is kept, for it is asked again and again."""
    global _last
    if _last is None or _last.catalogue is not catalogue:
        _last = Substituter(catalogue)
    return _last


def nearest(
    catalogue: Catalogue,
    movement_id: str,
    conditions: Conditions,
    exclude: frozenset[str] = frozenset(),
) -> Substitution | None:
    """See `Substituter.nearest`."""
    return substituter(catalogue).nearest(movement_id, conditions, exclude)


def easier(catalogue: Catalogue, movement_id: str, conditions: Conditions) -> Substitution | Reason:
    """See `Substituter.easier`."""
    return substituter(catalogue).easier(movement_id, conditions)


def harder(catalogue: Catalogue, movement_id: str, conditions: Conditions) -> Substitution | Reason:
    """See `Substituter.harder`."""
    return substituter(catalogue).harder(movement_id, conditions)
