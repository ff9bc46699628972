"""From the text of a coach's files to a checked catalogue, or to every mistake in them at once.

A file is TOML and may hold `[[equipment]]`, `[[skill]]` and `[[movement]]` entries, with the
fields of the models; one file gives the catalogue's own `name`.

>>> text = 'name = "demo"\\n[[skill]]\\nid = "balance"\\nnome = "balance"\\n'
>>> try:
...     load_catalogue({"a.toml": text})
... except CatalogueProblems as problems:
...     print(problems)
2 mistakes in the files:
a.toml: there is no movement in the files; add one, beginning with [[movement]]
a.toml:4: skill `balance`: there is no key `nome`; did you mean `name`?
"""

from __future__ import annotations

from collections.abc import Mapping

from pydantic import BaseModel

from catalogue.cross import cross_problems
from catalogue.entries import KINDS, Entry, Head, bounded, entries_of
from catalogue.model import Catalogue
from catalogue.parse import Parsed, parse
from catalogue.plain import faults, validated
from catalogue.problems import CatalogueProblems, Problem
from catalogue.profile import default_profile, load_profile

__all__ = ["default_profile", "load_catalogue", "load_profile"]

FILES = 200
"""The most files in one catalogue."""


def load_catalogue(sources: Mapping[str, str]) -> Catalogue:
    """The catalogue in `sources`: the name of each file with its TOML text.

    Raises CatalogueProblems with every mistake, each with its file, its line and the mend.
    """
    files = [parse(file, text) for file, text in list(sources.items())[:FILES]]
    problems = [problem for source in files for problem in source.problems]
    if len(sources) > FILES:
        problems.append(Problem("catalogue", 0, f"there are over {FILES} files", "join some"))
    entries: list[Entry] = []
    for source in files:
        found, wrong = entries_of(source)
        entries.extend(found)
        problems.extend(wrong)
    entries, wrong = bounded(entries)
    problems.extend(wrong)
    name, wrong = _name(files)
    problems.extend(wrong)
    for entry in entries:
        problems.extend(entry.problem(fault) for fault in faults(KINDS[entry.kind], entry.raw))
    known = _known(files, entries)
    problems.extend(cross_problems(entries, known))
    if not known["movement"] and not any(source.problems for source in files):
        file = files[0].file if files else "catalogue"
        what = "there is no movement in the files" if files else "there are no files"
        problems.append(Problem(file, 0, what, "add one, beginning with [[movement]]"))
    if problems:
        raise CatalogueProblems(problems)
    ready: dict[str, dict[str, BaseModel]] = {kind: {} for kind in KINDS}
    for entry in entries:
        ready[entry.kind][str(entry.id)] = validated(KINDS[entry.kind], entry.raw)
    return Catalogue.model_validate(
        {
            "name": name,
            "equipment": ready["equipment"],
            "skills": ready["skill"],
            "movements": ready["movement"],
        }
    )


def _name(files: list[Parsed]) -> tuple[str, list[Problem]]:
    """The catalogue's own name, which exactly one file gives."""
    named = [source for source in files if "name" in source.tables]
    if not named:
        if not files or any(source.problems for source in files):
            return "", []  # it may stand in what could not be read
        mend = 'write name = "..." before the first [[...]] of one file'
        return "", [Problem(files[0].file, 0, "the catalogue has no name", mend)]
    problems = [
        Problem(source.file, source.lines.of(fault.path), fault.what, fault.mend)
        for source in named
        for fault in faults(Head, {"name": source.tables["name"]})
    ]
    problems += [
        Problem(
            source.file,
            source.lines.of(("name",)),
            f"the catalogue has a name already, in {named[0].file}",
            "keep one of the two",
        )
        for source in named[1:]
    ]
    return str(named[0].tables["name"]), problems


def _known(files: list[Parsed], entries: list[Entry]) -> dict[str, set[str]]:
    """All ids of each kind, of those blocks too that could not be read in full."""
    known: dict[str, set[str]] = {kind: set() for kind in KINDS}
    for source in files:
        for kind, named in source.set_aside:
            known.setdefault(kind, set()).add(named)
    for entry in entries:
        if entry.id is not None:
            known[entry.kind].add(entry.id)
    return known
