"""Why a decision was taken, as data: the language packages turn it into a spoken sentence."""

from __future__ import annotations

from pydantic import Field

from catalogue.model import Frozen, Id


class Reason(Frozen):
    """An id (a line `reason.<id>` in the language's data) and the values that fill it.

    Values that are ids of movements, equipment or body parts are given as their spoken names.
    """

    id: Id
    values: dict[str, str | int] = Field(default_factory=dict)
