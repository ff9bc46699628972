"""Which work needs a safeguard asked for before its first set: it follows from its hazards.

Hanging asks for a tested bar, being upside down for a spotter or a clear place to fall, raised work
for firm ground under it and a mat or clear floor to come down on (common practice, no published
source). How it is asked belongs to the language.

>>> from catalogue.model import Hazard
>>> gravest((Hazard.RAISED, Hazard.INVERTED)).value
'inverted'
>>> gravest((Hazard.LANDING, Hazard.ROLLING)) is None
True
"""

from __future__ import annotations

from collections.abc import Collection

from catalogue.model import Hazard

ASKED = (Hazard.INVERTED, Hazard.HANGING, Hazard.RAISED)
"""Hazards that ask for a safeguard, the gravest first: what it asks for covers the others."""


def gravest(hazards: Collection[Hazard]) -> Hazard | None:
    """The hazard whose safeguard has to be asked for, or None where none has."""
    return next((hazard for hazard in ASKED if hazard in hazards), None)
