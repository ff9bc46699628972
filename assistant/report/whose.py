"""Whose training a command speaks of, where the record may hold that of several athletes."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from pydantic import ValidationError

from assistant.errors import InputError
from assistant.files import own_profile, read_profile
from assistant.record.header import SessionHeader
from assistant.record.store import SessionInfo, Store
from assistant.record.troubles import NoRecordError
from catalogue.model import Catalogue, Profile
from catalogue.profile import default_profile

NOTHING = "Nothing is on record yet: train first, with cuewalk train."


def opened(path: Path | None) -> Store | None:
    """The record to read from, or None where there is none yet. Raises RecordError."""
    try:
        return Store.open(path, read_only=True)
    except NoRecordError:
        return None


def whose(
    sessions: Sequence[SessionInfo],
    catalogue: Catalogue,
    profile: Path | None = None,
    athlete: str | None = None,
) -> Profile:
    """The profile to go by.

    A profile that is named counts, then the athlete's own that `cuewalk begin` wrote. Else it is
    the one on record with the athlete's last session: of the athlete who is named, or of the only
    one there is. Raises InputError where that leaves
    it open, CatalogueProblems where the profile's file is wrong.
    """
    last = {info.header.athlete: info.header for info in sessions}
    if profile is not None:
        given = read_profile(profile, catalogue)
        return given if athlete is None else given.model_copy(update={"athlete": athlete})
    own = own_profile(catalogue)
    if own is not None and athlete in (None, own.athlete):
        return own
    if athlete is not None:
        if athlete not in last:
            known = f"it holds those of {_listed(last)}" if last else "it is empty"
            raise InputError(f"The record has no session of {athlete!r}: {known}.")
        return _of(last[athlete], catalogue)
    if len(last) > 1:
        raise InputError(
            f"The record holds sessions of {_listed(last)}: say whose, with --athlete NAME "
            "or --profile FILE."
        )
    return _of(next(iter(last.values())), catalogue) if last else default_profile(catalogue)


def _of(header: SessionHeader, catalogue: Catalogue) -> Profile:
    try:
        return header.read_profile()
    except ValidationError:
        # Written by another cuewalk: the name is what counts, the rest is a beginner's.
        return default_profile(catalogue).model_copy(update={"athlete": header.athlete})


def _listed(names: dict[str, SessionHeader]) -> str:
    return ", ".join(sorted(names))
