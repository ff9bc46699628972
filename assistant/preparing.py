"""Before a session: plan it from profile, catalogue and record; or take up one that broke off."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime

from assistant.coach import lines_of
from assistant.errors import InputError
from assistant.record.header import SessionHeader
from assistant.record.history import history
from assistant.record.store import Store
from assistant.session.decide import replay
from assistant.session.facts import CautionsHeard
from assistant.session.state import Setting, State
from assistant.session.wording import because
from catalogue.history import History
from catalogue.model import Catalogue, Profile
from catalogue.pace import Talk
from catalogue.planning import NothingToTrainError, plan_session
from catalogue.reason import Reason
from catalogue.standing import conditions_for

CAUTIONS_AGAIN_AFTER = 30
"""Days after which the session's own cautions are said in full again (judgement)."""

TOO_LONG_AWAY = 6 * 3600
"""Seconds after which a session is not taken up again: the warm-up is long gone (judgement)."""


@dataclass(frozen=True)
class Prepared:
    """A session ready to run, new or taken up again: `state` is None for a new one."""

    setting: Setting
    session: int | None
    state: State | None = None
    away: float = 0.0


def new_setting(
    catalogue: Catalogue,
    profile: Profile,
    store: Store | None,
    now: datetime,
    minutes: int | None = None,
) -> Setting:
    """Plan today's session. Raises InputError where nothing can be trained."""
    day = now.date().toordinal()
    past = history(store, profile.athlete) if store is not None else History()
    movements, first_time = _cautions(store, profile.athlete, day)
    try:
        plan = plan_session(
            catalogue,
            profile,
            conditions_for(catalogue, profile, past),
            past,
            day=day,
            minutes=minutes,
            talk=Talk.to(profile, past, day, movements, first_time),
        )
    except NothingToTrainError as error:
        why = " ".join(map(sentences(profile.language), error.reasons[:3]))
        raise InputError(
            f"Nothing in the catalogue can be done today. {why} Mend equipment, space or levels "
            "in the profile."
        ) from None
    return Setting(
        catalogue, profile, plan, past, movements, first_time, day, sentences(profile.language)
    )


def sentences(language: str) -> Callable[[Reason], str]:
    """Words a reason, always with its first variant, so that a replay says the same."""
    lines = lines_of(language)
    return lambda reason: lines.render(because(reason))


def begin(store: Store, setting: Setting, now: datetime, digest: str, program: str) -> int:
    """Put a new session on record; returns its number."""
    return store.begin(
        SessionHeader.of(
            started=now,
            profile=setting.profile,
            plan=setting.plan,
            catalogue=setting.catalogue.name,
            catalogue_digest=digest,
            seed=0,
            program=program,
        )
    )


def unfinished(
    store: Store,
    catalogue: Catalogue,
    digest: str,
    athlete: str,
    now: datetime,
    warn: Callable[[str], None],
) -> Prepared | None:
    """The session that broke off, if there is one and its catalogue is still the same."""
    session = store.unfinished(athlete)
    if session is None:
        return None
    header = store.header(session)
    events = store.events(session)
    away = (now.replace(tzinfo=None) - header.started()).total_seconds() - store.length(session)
    if away > TOO_LONG_AWAY:
        warn(
            f"The last session broke off {away / 3600:.0f} hours ago; what was logged in it is "
            "kept, and this is a new one."
        )
        return None
    if header.catalogue_digest != digest:
        warn(
            "The catalogue has changed since the last session broke off, so that session can not "
            "go on; everything logged in it is kept."
        )
        return None
    profile, plan = header.read_profile(), header.read_plan()
    day = header.started().date().toordinal()
    past = history(store, athlete)
    past = History(
        tuple(s for s in past.sets if s.session < session),
        tuple(s for s in past.sessions if s.session < session),
    )
    movements, first_time = _cautions(store, athlete, day, before=session)
    words = sentences(profile.language)
    setting = Setting(catalogue, profile, plan, past, movements, first_time, day, words)
    return Prepared(setting, session, replay(setting, events), max(0.0, away))


def _cautions(
    store: Store | None, athlete: str, day: int, before: int | None = None
) -> tuple[frozenset[str], bool]:
    """Movements whose cautions were heard, and whether the session's own are due in full."""
    heard: set[str] = set()
    first_time = True
    if store is None:
        return frozenset(), True
    for info in store.sessions():
        if info.header.athlete != athlete or (before is not None and info.id >= before):
            continue
        ago = day - info.header.started().date().toordinal()
        for fact in store.facts(info.id):
            if isinstance(fact, CautionsHeard) and fact.movement is not None:
                heard.add(fact.movement)
            elif isinstance(fact, CautionsHeard) and ago <= CAUTIONS_AGAIN_AFTER:
                first_time = False
    return frozenset(heard), first_time


def digest_of(sources: Mapping[str, str]) -> str:
    """One digest of a catalogue's files, by which a session knows its own."""
    whole = hashlib.sha256()
    for name in sorted(sources):
        whole.update(name.encode() + b"\0" + sources[name].encode() + b"\0")
    return whole.hexdigest()
