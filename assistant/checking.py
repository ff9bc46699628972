"""Everything that can be checked before a session: catalogue, profile, phrases, lines, hearing."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from assistant.alike import alike, in_words
from assistant.coach import Coach
from assistant.counted import counted
from assistant.errors import CuewalkError
from assistant.files import (
    builtin_sources,
    read_catalogue,
    read_folder,
    read_profile,
    read_translated,
)
from assistant.hearing.choose import choose_recogniser
from assistant.hearing.dictionary import LANGUAGE, sounds_of
from assistant.language import check_language
from assistant.profile_file import default_profile_path
from assistant.session.nodes import Node
from assistant.session.scopes import scope_at
from catalogue.check import Remark, check_catalogue, forbidden_phrases
from catalogue.entries import places
from catalogue.model import Catalogue, Profile
from catalogue.problems import CatalogueProblems
from catalogue.spoken import words_of
from catalogue.translation import Translated
from intents.meaning import SAFETY_IDS


@dataclass(frozen=True)
class Found:
    """What a check found: errors must be mended, remarks are advice."""

    errors: tuple[str, ...]
    remarks: tuple[str, ...]
    summary: str


def check_everything(
    folder: Path | None,
    profile: Path | None,
    engine: str | None,
    model: Path | None,
    language: str | None = None,
) -> Found:
    """Check a coach's folder (None: the built-in catalogue) and a profile, in a language."""
    errors: list[str] = []
    try:
        catalogue = read_catalogue(folder)
    except CatalogueProblems as problems:
        errors += [str(problem) for problem in problems.problems]
        return Found(tuple(errors), (), _summary(errors, []))
    beginners: list[str] = []
    try:
        who = read_profile(profile, catalogue)
        language = language or who.language
        check_language(language)
        beginners = unnamed_skills(who, catalogue, profile or default_profile_path())
    except CatalogueProblems as problems:
        errors += [str(problem) for problem in problems.problems]
    language = language or LANGUAGE
    sources = builtin_sources() if folder is None else read_folder(folder)
    spoken = Translated(catalogue)
    try:
        spoken = read_translated(folder, catalogue, language)
    except CatalogueProblems as problems:
        errors += [str(problem) for problem in problems.problems]
    coach = Coach.of(spoken.catalogue, language)
    advice = check_catalogue(catalogue)
    spaced = coach.understander.phrases.words.spaced
    split = words_of if spaced else coach.understander.tokens
    advice += forbidden_phrases(spoken.catalogue, acting_phrases(coach), split)
    advice += [
        Remark(one.kind, one.id, f"{', '.join(one.fields)} not in {language!r}", "translate it")
        for one in spoken.untranslated
    ]
    where = places(sources)
    remarks = beginners + [
        str(r.at(*where[r.kind, r.id]) if (r.kind, r.id) in where else r) for r in advice
    ]
    if language == LANGUAGE:
        remarks += [in_words(pair) for pair in alike(catalogue, coach, sounds_of)]
    try:
        remarks += unheard(spoken.catalogue, coach, engine, model, language)
    except CuewalkError as error:
        remarks.append(f"hearing was not checked: {error}")
    summary = _summary(errors, remarks)
    return Found(
        tuple(errors),
        tuple(remarks),
        f"{counted(len(catalogue.movements), 'movement')} in {counted(len(sources), 'file')}. "
        f"{summary}",
    )


def unnamed_skills(profile: Profile, catalogue: Catalogue, file: Path) -> list[str]:
    """What a profile does not say: how far the athlete is in some skills."""
    missing = [skill for skill in catalogue.skills if skill not in profile.levels]
    if not missing:
        return []
    return [f"{file}: no level for {', '.join(missing)}: trained as a beginner, unless you add one"]


def acting_phrases(coach: Coach) -> frozenset[str]:
    """The safety phrases: what must not stand in the coach's own texts."""
    phrases = coach.understander.phrases
    found: set[str] = set()
    for template in phrases.templates:
        if template.intent in SAFETY_IDS and not template.bare:
            for line in phrases.folded_lines(template.node):
                words = [getattr(item, "text", None) for item in line]
                if all(words):
                    found.add(" ".join(str(word) for word in words))
    return frozenset(found)


def unheard(
    catalogue: Catalogue, coach: Coach, engine: str | None, model: Path | None, language: str
) -> list[str]:
    """Words that the recogniser in use can not hear at all."""
    recogniser = choose_recogniser(engine, model, language=language).open()
    try:
        words = frozenset().union(*(coach.grammar(scope_at(node)).words for node in Node))
        unknown = recogniser.unknown(words, coach.understander.phrases.words.spaced)
    finally:
        recogniser.close()
    names = {e.id: (e.name, *e.also) for e in catalogue.equipment.values()}
    remarks = []
    for word in sorted(unknown):
        owner = next(
            (i for i, spoken in names.items() if any(word in s.split() for s in spoken)), ""
        )
        where = f"equipment {owner}" if owner else "a phrase"
        remarks.append(
            f"{where}: {recogniser.name} can not hear the word {word!r}; use another name for it"
        )
    return remarks


def _summary(errors: list[str], remarks: list[str]) -> str:
    if not errors and not remarks:
        return "Nothing to mend."
    return f"{len(errors)} to mend, {counted(len(remarks), 'remark')}."
