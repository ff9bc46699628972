"""One athlete's file: read, checked against the catalogue, and what holds where there is none."""

from __future__ import annotations

from typing import cast

from catalogue.model import Catalogue, Equipment, Level, Profile, Skill
from catalogue.names import plain_name
from catalogue.parse import parse
from catalogue.plain import faults, nearest, validated
from catalogue.problems import CatalogueProblems, Fault, Problem

UNNAMED = "Athlete"
"""Who trains, where nobody has told a name: it is shown, said and kept as one."""


def load_profile(text: str, file: str, catalogue: Catalogue) -> Profile:
    """The profile in a TOML text; `file` is the name that mistakes are reported under.

    Raises CatalogueProblems with every mistake, each with its line and the mend.
    """
    read = parse(file, text)
    problems = list(read.problems)
    if not read.tables and not problems:
        mend = 'write at least athlete = "..." in it'
        raise CatalogueProblems([Problem(file, 0, "the profile is empty", mend)])
    wrong = _unknown(read.tables, catalogue)
    if read.tables:
        # A word that is no id at all is told once, with the id that it stands for.
        told = {fault.path for fault in wrong}
        wrong += [f for f in faults(Profile, read.tables) if f.path not in told]
    problems += [Problem(file, read.lines.of(w.path), w.what, w.mend) for w in wrong]
    if problems:
        raise CatalogueProblems(problems)
    return cast(Profile, validated(Profile, read.tables))


def default_profile(catalogue: Catalogue, athlete: str = UNNAMED) -> Profile:
    """Who has written no profile: a beginner in every skill, with nothing but the floor."""
    return Profile(athlete=athlete, levels=dict.fromkeys(catalogue.skills, Level.BEGINNER))


def _unknown(tables: dict[str, object], catalogue: Catalogue) -> list[Fault]:
    """Skills and equipment that the catalogue does not have."""
    found: list[Fault] = []
    levels = tables.get("levels")
    if isinstance(levels, dict):
        skills = {plain_name(word): s.id for s in catalogue.skills.values() for word in _all(s)}
        for skill in levels:
            if skill not in catalogue.skills:
                mend = f"take it out, or use one of: {', '.join(catalogue.skills)}"
                what = f"the catalogue has no skill `{skill}`"
                found.append(Fault(("levels", skill), what, _meant(skill, skills, mend)))
    owned = tables.get("equipment")
    if isinstance(owned, list):
        things = {plain_name(w): e.id for e in catalogue.equipment.values() for w in _all(e)}
        for place, item in enumerate(owned):
            if isinstance(item, str) and item not in catalogue.equipment:
                mend = f"take it out, or use some of: {', '.join(catalogue.equipment)}"
                what = f"the catalogue has no equipment `{item}`"
                found.append(Fault(("equipment", place), what, _meant(item, things, mend)))
    return found


def _all(thing: Skill | Equipment) -> tuple[str, ...]:
    """Every word for a thing that a reader might write in a profile."""
    return (thing.id, thing.name, *thing.also)


def _meant(word: str, ids: dict[str, str], otherwise: str) -> str:
    """A mend for a word that is no id: the id of the thing so called, or of the nearest."""
    sound = plain_name(word)
    near = sound if sound in ids else nearest(sound, ids)
    return f"did you mean `{ids[near]}`?" if near else otherwise
