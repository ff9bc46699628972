"""How the athlete last asked to be spoken to: kept in the record, behind the profile's back.

What was said by voice counts in later sessions for as long as the profile says what it said then;
whoever changes that line of the profile means it.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, fields
from typing import Any

from pydantic import ValidationError

from assistant.record.store import Store
from assistant.session.facts import Chosen
from catalogue.model import Detail, Profile


@dataclass(frozen=True)
class Wishes:
    """Fields of the profile; each is None where the profile's own counts."""

    detail: Detail | None = None
    voice: str | None = None
    volume: float | None = None
    rate: int | None = None


def wishes(store: Store, profile: Profile, before: int | None = None) -> Wishes:
    """As the sessions before the number `before` tell (all of them where it is None).

    Raises RecordError.
    """
    now = profile.model_dump(mode="json")
    found: dict[str, str | None] = {}
    for info in reversed(store.sessions()):
        if info.header.athlete != profile.athlete or (before is not None and info.id >= before):
            continue
        chosen = [fact for fact in store.facts(info.id) if isinstance(fact, Chosen)]
        for fact in reversed(chosen):
            if fact.what not in found:
                then = Profile.model_fields[fact.what].default
                then = json.loads(info.header.profile).get(fact.what, then)
                found[fact.what] = fact.value if then == now[fact.what] else None
        if len(found) == len(fields(Wishes)):
            break
    return Wishes(**{what: _read(what, text) for what, text in found.items() if text is not None})


def _read(what: str, text: str) -> Any:
    """A field of the profile from its text; None where this cuewalk's profiles have no such."""
    try:
        return getattr(Profile.model_validate({"athlete": "anybody", what: text}), what)
    except ValidationError:
        return None
