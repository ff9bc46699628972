"""`cuewalk understand`: what lines of text mean, one JSON line for each."""

from __future__ import annotations

import json
import sys
from typing import Any

from assistant.commands.options import CatalogueOption, LanguageOption, material
from assistant.commands.places import PlaceOption, scope_of_place
from intents.meaning import Understanding


def understand(
    place: PlaceOption = None,
    catalogue: CatalogueOption = None,
    language: LanguageOption = None,
) -> None:
    """Tell what each line of standard input means.

    Example: echo "log thirty-eight seconds, effort seven" | cuewalk understand
    """
    where = scope_of_place(place)
    coach = material(catalogue, None, language).coach
    for line in sys.stdin:
        text = line.rstrip("\r\n")
        meant = {"text": text, **as_json(coach.understand(text, where))}
        print(json.dumps(meant, ensure_ascii=False), flush=True)


def as_json(understanding: Understanding) -> dict[str, Any]:
    """Meanings, confidence and decision as they are shown to other programs."""
    confidence = round(understanding.confidence, 3)
    meanings = [
        {"id": m.id, "slots": dict(m.slots), "confidence": confidence}
        for m in understanding.meanings
    ]
    if not meanings:
        meanings = [{"id": "none", "slots": {}, "confidence": confidence}]
    return {"intents": meanings, "decision": understanding.decision}
