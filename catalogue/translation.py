"""A catalogue in another language: its texts replaced, by the ids of its entries.

A translation is a file among the catalogue's that begins with `language = "..."` and names entries
in tables such as `[movement.line_walk]`. Lists keep the order and the length of the original, but
for `also`. What a translation leaves out stays as it is; further names go with the name.

>>> from catalogue.model import Catalogue, Skill
>>> skills = {name: Skill(id=name, name=name) for name in ("balance", "hangs")}
>>> small = Catalogue(name="demo", equipment={}, skills=skills, movements={})
>>> text = 'language = "ko"\\n[skill.balance]\\nname = "균형"\\n'
>>> done = translated(small, {"ko.toml": text}, "ko")
>>> done.catalogue.skills["balance"].name, done.untranslated
('균형', (Untranslated(kind='skill', id='hangs', fields=('name',)),))
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from pydantic import BaseModel

from catalogue.model import Catalogue, Equipment, Frozen, Movement, Sentence, Skill, Spoken, StandIn
from catalogue.names import Name, clashes
from catalogue.parse import Parsed, parse
from catalogue.plain import faults, suggest, validated
from catalogue.problems import CatalogueProblems, Fault, Problem

KEY = "language"
_HEAD = re.compile(rf"""^{KEY}\s*=\s*["'](\w+)["']""", re.MULTILINE)
_PROFILE = re.compile(r"^athlete\s*=", re.MULTILINE)


class _Words(Frozen):
    name: Spoken | None = None
    also: tuple[Spoken, ...] = ()


class _StandInWords(Frozen):
    name: Spoken
    condition: Sentence


class _SkillWords(_Words):
    pass


class _EquipmentWords(_Words):
    stand_ins: tuple[_StandInWords, ...] = ()
    never: tuple[Spoken, ...] = ()
    never_because: Sentence | None = None


class _MovementWords(_Words):
    set_up: tuple[Sentence, ...] = ()
    cues: tuple[Sentence, ...] = ()
    safety: tuple[Sentence, ...] = ()
    easier_because: Sentence | None = None


_KINDS: dict[str, type[_Words]] = {
    "skill": _SkillWords,
    "equipment": _EquipmentWords,
    "movement": _MovementWords,
}
_ANY_LENGTH = ("also",)


@dataclass(frozen=True)
class Untranslated:
    """An entry, and those of its fields whose texts a language has not."""

    kind: str
    id: str
    fields: tuple[str, ...]


@dataclass(frozen=True)
class Translated:
    """A catalogue with a language's texts, and what still has those of the original.

    `found` is False where no file is in that language: the catalogue is then the original.
    """

    catalogue: Catalogue
    untranslated: tuple[Untranslated, ...] = ()
    found: bool = True


Entry = TypeVar("Entry", Skill, Equipment, Movement)


def translated(catalogue: Catalogue, sources: Mapping[str, str], language: str) -> Translated:
    """The catalogue with the texts that `sources` (names and TOML texts) have for a language.

    Raises CatalogueProblems with every mistake in the files of that language.
    """
    mine = {file: text for file, text in sources.items() if _language_of(text) == language}
    files = [parse(file, text) for file, text in mine.items()]
    if not files:
        return Translated(catalogue, found=False)
    problems = [problem for source in files for problem in source.problems]
    words: dict[tuple[str, str], _Words] = {}
    known = _entries(catalogue)
    for source in files:
        for path, fault, found in _read(source, known):
            if fault is not None:
                line = source.lines.of((*path, *fault.path))
                problems.append(Problem(source.file, line, fault.what, fault.mend))
            elif found is not None and path in words:
                what = f"{path[0]} `{path[1]}` is translated twice"
                problems.append(
                    Problem(source.file, source.lines.of(path), what, "keep one of the two")
                )
            elif found is not None:
                words[path] = found
    made = catalogue.model_copy(
        update={
            "skills": _all(catalogue.skills, "skill", words),
            "equipment": _all(catalogue.equipment, "equipment", words),
            "movements": _all(catalogue.movements, "movement", words),
        }
    )
    problems += _alike(made, files[0].file)
    if problems:
        raise CatalogueProblems(problems)
    return Translated(made, tuple(_untranslated(known, words)))


def _language_of(text: str) -> str | None:
    """The language that a file is a translation into, read even where the rest can not be."""
    found = _HEAD.search(text)
    return found[1] if found and not _PROFILE.search(text) else None


def _entries(catalogue: Catalogue) -> Mapping[str, Mapping[str, Skill | Equipment | Movement]]:
    return {
        "skill": catalogue.skills,
        "equipment": catalogue.equipment,
        "movement": catalogue.movements,
    }


def _read(
    source: Parsed, known: Mapping[str, Mapping[str, BaseModel]]
) -> Iterator[tuple[tuple[str, str], Fault | None, _Words | None]]:
    """Every entry of a file: where it stands, and what is wrong with it or what it says."""
    for kind, table in source.tables.items():
        if kind == KEY:
            continue
        if kind not in _KINDS or not isinstance(table, dict):
            mend = f"write [kind.id], where kind is one of: {', '.join(_KINDS)}"
            first = next(iter(table), "") if isinstance(table, dict) else ""
            yield (kind, first), Fault((), f"`{kind}` can not be translated", mend), None
            continue
        for id_, raw in table.items():
            path = (kind, id_)
            if id_ not in known[kind]:
                mend = suggest(id_, list(known[kind]), "take it out")
                yield path, Fault((), f"the catalogue has no {kind} `{id_}`", mend), None
                continue
            wrong = faults(_KINDS[kind], raw) if isinstance(raw, dict) else []
            yield from ((path, fault, None) for fault in wrong)
            if isinstance(raw, dict) and not wrong:
                words = validated(_KINDS[kind], raw)
                assert isinstance(words, _Words)
                short = list(_lengths(words, known[kind][id_]))
                yield from ((path, fault, None) for fault in short)
                if not short:
                    yield path, None, words


def _lengths(words: _Words, entry: BaseModel) -> Iterator[Fault]:
    """Lists that have more or fewer texts than the original, so that they can not be matched."""
    for field in type(words).model_fields:
        mine = getattr(words, field)
        original = getattr(entry, field, None)
        if field in _ANY_LENGTH or not mine or not isinstance(mine, tuple):
            continue
        if original is None or len(mine) != len(original):
            count = len(original or ())
            yield Fault(
                (field,),
                f"`{field}` has {len(mine)} texts, and the original has {count}",
                "write one for each, in the same order",
            )


def _all(
    entries: Mapping[str, Entry], kind: str, words: Mapping[tuple[str, str], _Words]
) -> dict[str, Entry]:
    return {
        id_: _in_words(entry, words[kind, id_]) if (kind, id_) in words else entry
        for id_, entry in entries.items()
    }


def _in_words(entry: Entry, words: _Words) -> Entry:
    changes: dict[str, Any] = {
        field: getattr(words, field)
        for field in ("name", "set_up", "safety", "never", "never_because")
        if getattr(words, field, None)
    }
    if words.name or words.also:
        changes["also"] = words.also
    if isinstance(entry, Movement) and isinstance(words, _MovementWords):
        if words.cues:
            changes["cues"] = tuple(
                cue.model_copy(update={"text": text})
                for cue, text in zip(entry.cues, words.cues, strict=True)
            )
        if words.easier_because:
            changes["links"] = entry.links.model_copy(
                update={"easier_because": words.easier_because}
            )
    if isinstance(entry, Equipment) and isinstance(words, _EquipmentWords) and words.stand_ins:
        changes["stand_ins"] = tuple(
            StandIn(name=text.name, item=stand_in.item, condition=text.condition)
            for stand_in, text in zip(entry.stand_ins, words.stand_ins, strict=True)
        )
    return entry.model_copy(update=changes)


def _alike(catalogue: Catalogue, file: str) -> Iterator[Problem]:
    """Names that two entries of a kind share, as no recogniser could tell them apart."""
    for kind, entries in _entries(catalogue).items():
        names = [
            Name(number, (kind, entry.id), name)
            for number, entry in enumerate(entries.values())
            for name in (entry.name, *entry.also)
        ]
        for name, earlier in clashes(names):
            what = f"{kind} `{name.path[1]}` is called {name.spoken!r} like `{earlier.path[1]}`"
            yield Problem(file, 0, what, "give one of them another name")


def _untranslated(
    known: Mapping[str, Mapping[str, BaseModel]], words: Mapping[tuple[str, str], _Words]
) -> Iterator[Untranslated]:
    for kind, entries in known.items():
        for id_, entry in entries.items():
            mine = words.get((kind, id_), _KINDS[kind]())
            links = getattr(entry, "links", None)
            fields = tuple(
                field
                for field in _KINDS[kind].model_fields
                if field not in _ANY_LENGTH
                and getattr(links if field == "easier_because" else entry, field)
                and not getattr(mine, field)
            )
            if fields:
                yield Untranslated(kind, id_, fields)
