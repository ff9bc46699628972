"""The `[[...]]` blocks of a catalogue as they are written, before they are checked."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel

from catalogue.model import Equipment, Frozen, Movement, Skill, Spoken
from catalogue.parse import Parsed, parse
from catalogue.plain import quoted, suggest
from catalogue.problems import Fault, Path, Problem

ENTRIES = 5_000
"""The most entries of one kind (movements, say) in one catalogue."""

KINDS: dict[str, type[BaseModel]] = {
    "equipment": Equipment,
    "skill": Skill,
    "movement": Movement,
}


class Head(Frozen):
    """What a file may say beside its entries."""

    name: Spoken


@dataclass(frozen=True)
class Entry:
    """One `[[...]]` block as written. `id` is None where it has none that is text."""

    kind: str
    id: str | None
    raw: dict[str, Any]
    source: Parsed
    path: Path

    def problem(self, fault: Fault) -> Problem:
        named = f"{self.kind} {quoted(self.id)}" if self.id is not None else f"a {self.kind}"
        line = self.source.lines.of((*self.path, *fault.path))
        return Problem(self.source.file, line, f"{named}: {fault.what}", fault.mend)

    def text(self, *path: str) -> str | None:
        """A value that is text, or None where it is missing or anything else."""
        value: Any = self.raw
        for key in path:
            value = value.get(key) if isinstance(value, dict) else None
        return value if isinstance(value, str) else None

    def texts(self, *path: str) -> Iterator[tuple[int, str]]:
        """The texts in a list, with their places."""
        value: Any = self.raw
        for key in path:
            value = value.get(key) if isinstance(value, dict) else None
        for place, item in enumerate(value if isinstance(value, list) else ()):
            if isinstance(item, str):
                yield place, item


def entries_of(source: Parsed) -> tuple[list[Entry], list[Problem]]:
    """The blocks of one file, and what in it is no block."""
    if "athlete" in source.tables:
        line = source.lines.of(("athlete",))
        what = "this is an athlete's profile, and no part of a catalogue"
        return [], [Problem(source.file, line, what, "move it out of the catalogue's folder")]
    if isinstance(source.tables.get("language"), str):
        # A translation has texts for entries, and none of its own: catalogue/translation.py.
        return [], []
    found: list[Entry] = []
    problems: list[Problem] = []
    for key, value in source.tables.items():
        line = source.lines.of((key,))
        if key in KINDS:
            blocks = value if isinstance(value, list) else [value]
            for place, raw in enumerate(blocks):
                if not isinstance(value, list) or not isinstance(raw, dict):
                    problems.append(
                        Problem(
                            source.file,
                            line,
                            f"`{key}` is not written as a list of entries",
                            f"begin each with [[{key}]]",
                        )
                    )
                    break
                named = raw.get("id")
                found.append(
                    Entry(key, named if isinstance(named, str) else None, raw, source, (key, place))
                )
        elif key not in Head.model_fields:
            known = (*KINDS, *Head.model_fields)
            mend = suggest(key, known, f"take it out, or use one of: {', '.join(known)}")
            what = f"there is no key {quoted(key)} in a catalogue"
            problems.append(Problem(source.file, line, what, mend))
    return found, problems


def bounded(entries: list[Entry]) -> tuple[list[Entry], list[Problem]]:
    """At most `ENTRIES` of each kind, and a complaint where there are more."""
    kept: list[Entry] = []
    problems: list[Problem] = []
    for kind in KINDS:
        mine = [entry for entry in entries if entry.kind == kind]
        kept.extend(mine[:ENTRIES])
        if len(mine) > ENTRIES:
            what = f"this is entry {ENTRIES + 1:,} under [[{kind}]], but at most {ENTRIES:,} fit"
            first = mine[ENTRIES]
            line = first.source.lines.of(first.path)
            problems.append(Problem(first.source.file, line, what, "make two catalogues of it"))
    return kept, problems


def places(sources: Mapping[str, str]) -> dict[tuple[str, str], tuple[str, int]]:
    """File and line where each entry begins, by its kind and id."""
    found: dict[tuple[str, str], tuple[str, int]] = {}
    for file, text in sources.items():
        source = parse(file, text)
        for entry in entries_of(source)[0]:
            if entry.id is not None:
                found.setdefault((entry.kind, entry.id), (file, source.lines.of(entry.path)))
    return found
