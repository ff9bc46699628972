"""Before a session: plan it from profile, catalogue and record; or take up one that broke off."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from pydantic import ValidationError

from assistant.coach import lines_of
from assistant.errors import InputError, RecordError
from assistant.record.cautioned import Cautioned, cautioned, unwell_on
from assistant.record.header import SessionHeader
from assistant.record.history import history
from assistant.record.store import Store
from assistant.record.wishes import Wishes, wishes
from assistant.returning import NOT_CHOSEN
from assistant.session import cautions
from assistant.session.decide import RULES, replay
from assistant.session.state import Setting, State, opening
from assistant.session.wording import because
from assistant.speaking.choose import voices_for
from catalogue.history import History
from catalogue.model import Catalogue, Profile
from catalogue.pace import Talk
from catalogue.plan import Plan
from catalogue.planning import NothingToTrainError, plan_session
from catalogue.reason import Reason
from catalogue.standing import conditions_for
from intents.lines import Line

TOO_LONG_AWAY = 6 * 3600
"""Seconds after which a session is not taken up again: the warm-up is long gone (judgement)."""


@dataclass(frozen=True)
class Prepared:
    """A session ready to run, new or taken up again: `state` is None for a new one."""

    setting: Setting
    session: int | None
    state: State | None = None
    away: float = 0.0

    @property
    def start(self) -> State:
        """The state that it goes on from, or begins with."""
        return self.state or opening(self.setting)


def new_setting(
    catalogue: Catalogue,
    profile: Profile,
    store: Store | None,
    now: datetime,
    minutes: int | None = None,
    return_chosen: bool = False,
) -> Setting:
    """Plan today's session.

    Raises InputError where nothing can be trained, or where the athlete was unwell today and has
    not chosen to train all the same (`return_chosen`; see `assistant/returning.py`).
    """
    day = now.date().toordinal()
    known, returning = Cautioned(), False
    if store is not None:
        known = cautioned(store, profile.athlete, day, cautions_text(profile.language))
        returning = unwell_on(store, profile.athlete, day)
    if returning and not return_chosen:
        raise InputError(NOT_CHOSEN)
    past = history(store, profile.athlete) if store is not None else History()
    wanted = wishes(store, profile) if store is not None else Wishes()
    talk = Talk.to(profile, past, day, known.movements, known.first_time)
    try:
        plan = plan_session(
            catalogue,
            profile,
            conditions_for(catalogue, profile, past),
            past,
            day=day,
            minutes=minutes,
            talk=replace(
                talk, detail=wanted.detail or profile.detail, rate=wanted.rate or profile.rate
            ),
        )
    except NothingToTrainError as error:
        why = " ".join(map(sentences(profile.language), error.reasons[:3]))
        raise InputError(
            f"Nothing in the catalogue can be done today. {why} Mend equipment, space or levels "
            "in the profile."
        ) from None
    setting = _setting(catalogue, profile, plan, past, day, known, returning)
    return _spoken_to(setting, wanted, seed=len(past.sessions))


def _setting(
    catalogue: Catalogue,
    profile: Profile,
    plan: Plan,
    past: History,
    day: int,
    known: Cautioned,
    returning: bool,
) -> Setting:
    """The setting of a plan, with the cautions that are `known` and their present wording."""
    return Setting(
        catalogue,
        profile,
        plan,
        past,
        cautions_heard=known.movements,
        first_time=known.first_time,
        day=day,
        sentence=sentences(profile.language),
        accepted=known.accepted,
        cautions=cautions_text(profile.language),
        returning=returning,
    )


def _spoken_to(setting: Setting, wanted: Wishes, seed: int) -> Setting:
    """The setting with how the athlete wants to be spoken to, and the ways of this session."""
    voices = voices_for(setting.profile.voice, setting.profile.language)
    voice = wanted.voice if wanted.voice in voices else voices[0]
    return replace(
        setting,
        detail=wanted.detail,
        voice=voice,
        volume=wanted.volume,
        rate=wanted.rate,
        voices=voices,
        seed=seed,
    )


def sentences(language: str) -> Callable[[Reason], str]:
    """Words a reason, always with its first variant, so that a replay says the same."""
    lines = lines_of(language)
    return lambda reason: lines.render(because(reason))


def cautions_text(language: str) -> str:
    """A digest of the session's own cautions as a language words them."""
    lines = lines_of(language)
    said = (*cautions.LINES, cautions.QUESTION)
    texts = [variant for line in said for variant in lines.lines[line]]
    return hashlib.sha256("\n".join(texts).encode()).hexdigest()[:16]


def rules_of(language: str) -> str:
    """What a session's course follows from beside its plan, its catalogue and the record."""
    return f"{RULES} {cautions_text(language)}"


def begin(store: Store, setting: Setting, now: datetime, digest: str, program: str) -> int:
    """Put a new session on record; returns its number."""
    return store.begin(
        SessionHeader.of(
            started=now,
            profile=setting.profile,
            plan=setting.plan,
            catalogue=setting.catalogue.name,
            catalogue_digest=digest,
            seed=setting.seed,
            program=program,
            rules=rules_of(setting.profile.language),
        )
    )


def unfinished(
    store: Store,
    catalogue: Catalogue,
    digest: str,
    athlete: str,
    now: datetime,
    warn: Callable[[str], None],
    return_chosen: bool = False,
) -> Prepared | None:
    """The session that broke off, if there is one and its catalogue is still the same.

    Raises InputError where the athlete was unwell today and has not chosen to train on, RecordError
    where what the session began with can not be read here.
    """
    session = store.unfinished(athlete)
    if session is None:
        return None
    header = store.header(session)
    words = lines_of(header.language)
    events = store.events(session)
    away = (now.replace(tzinfo=None) - header.started()).total_seconds() - store.length(session)
    if away > TOO_LONG_AWAY:
        warn(words.render(Line("note.too_long_away", {"hours": round(away / 3600)})))
        return None
    if header.catalogue_digest != digest:
        warn(words.render(Line("note.catalogue_changed")))
        return None
    if header.rules != rules_of(header.language):
        warn(words.render(Line("note.program_changed")))
        return None
    if unwell_on(store, athlete, now.date().toordinal()) and not return_chosen:
        raise InputError(NOT_CHOSEN)
    profile, plan = _begun_with(session, header, catalogue)
    day = header.started().date().toordinal()
    past = history(store, athlete)
    past = History(
        tuple(s for s in past.sets if s.session < session),
        tuple(s for s in past.sessions if s.session < session),
    )
    known = cautioned(store, athlete, day, cautions_text(profile.language), before=session)
    wanted = wishes(store, profile, before=session)
    returning = unwell_on(store, athlete, day, before=session)
    setting = _setting(catalogue, profile, plan, past, day, known, returning)
    setting = _spoken_to(setting, wanted, header.seed)
    return Prepared(setting, session, replay(setting, events), max(0.0, away))


def _begun_with(session: int, header: SessionHeader, catalogue: Catalogue) -> tuple[Profile, Plan]:
    """The profile and the plan that a session began with."""
    try:
        profile, plan = header.read_profile(), header.read_plan()
        strange = {block.movement for block in plan.blocks} - catalogue.movements.keys()
        why = f"there is no movement {min(strange)!r}" if strange else ""
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        why = f"{'.'.join(map(str, first['loc']))}: {first['msg']}"
    if why:
        raise RecordError(
            f"Session {session} broke off and can not go on, since its plan or profile can not be "
            f"read here ({why}): begin another with `cuewalk train --new`; what was logged in it "
            "is kept"
        )
    return profile, plan


def digest_of(sources: Mapping[str, str]) -> str:
    """One digest of a catalogue's files, by which a session knows its own."""
    whole = hashlib.sha256()
    for name in sorted(sources):
        whole.update(name.encode() + b"\0" + sources[name].encode() + b"\0")
    return whole.hexdigest()
