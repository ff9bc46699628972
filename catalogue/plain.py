"""A validation library's errors as plain sentences for a coach: where, what is wrong, the mend.

>>> from catalogue.model import Movement
>>> raw = {"id": "line_walk", "stepp": 1, "dosage": {"kind": "hold", "seconds": [45, 30]}}
>>> for told in faults(Movement, raw)[1:5]:
...     print(told.path, told.what, "/", told.mend)
('dosage', 'seconds') `seconds` of `dosage`: low 45 is above high 30 / swap them
('set_up',) `set_up` is missing / add one to four sentences, as set_up = ["..."]
('cues',) `cues` is missing / add two or more, as cues = [{ focus = "outside", text = "..." }]
('stepp',) there is no key `stepp` / did you mean `step`?
"""

from __future__ import annotations

import json
import re
from collections.abc import Collection, Mapping
from functools import cache
from typing import Any

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails
from rapidfuzz import fuzz, process

from catalogue import model
from catalogue.problems import Fault, Path
from catalogue.rules import movement_faults

CLOSE = 60
"""A similarity, 0 to 100, from which a known word is offered for a misspelt one."""

MANY = 100
"""Mistakes that are named in one entry."""

_DOSAGES: dict[str, type[BaseModel]] = {
    "hold": model.Hold,
    "work": model.Work,
    "reps": model.Reps,
    "reps_per_side": model.RepsPerSide,
    "distance": model.Distance,
}
_TABLES: dict[str, type[BaseModel]] = {
    "cues": model.Cue,
    "links": model.Links,
    "support": model.Support,
    "stand_ins": model.StandIn,
    "seconds": model.Range,
    "reps": model.Range,
    "per_side": model.Range,
    "metres": model.Range,
}
_ADD: dict[str, str] = {
    "id": 'add a short word for it, as id = "..."',
    "name": 'add the name that is spoken, as name = "..."',
    "dosage": 'add for example dosage = { kind = "hold", seconds = [30, 45] }',
    "kind": 'add for example kind = "hold"',
    "set_up": 'add one to four sentences, as set_up = ["..."]',
    "cues": 'add two or more, as cues = [{ focus = "outside", text = "..." }]',
    "text": 'add the sentence, as text = "..."',
    "focus": 'write focus = "outside" or focus = "body"',
    "condition": 'say when it may be used, as condition = "Only if ..."',
    "athlete": 'add a name, as athlete = "..."',
    "seconds": "add for example seconds = [30, 45]",
    "reps": "add for example reps = [3, 5]",
    "per_side": "add for example per_side = [5, 6]",
    "metres": "add for example metres = [4, 8]",
    "low": "write both numbers, as [30, 45]",
    "high": "write both numbers, as [30, 45]",
}
_TYPES: dict[str, tuple[str, str]] = {
    "string_type": ("must be text", "put it in quotes"),
    "string_sub_type": ("must be text", "put it in quotes"),
    "int_type": ("must be a whole number", "write it without quotes"),
    "int_from_float": ("must be a whole number", "leave out the part after the point"),
    "int_parsing_size": ("is far too large", "write a smaller number"),
    "float_type": ("must be a number", "write it without quotes"),
    "finite_number": ("must be a finite number", "write a smaller number"),
    "bool_type": ("must be true or false", "write it without quotes"),
    "tuple_type": ("must be a list", "put it in square brackets"),
    "model_type": ("must be a table", "write it in braces, as { key = value }"),
    "model_attributes_type": ("must be a table", "write it in braces, as { key = value }"),
    "dict_type": ("must be a table", "write it in braces, as { key = value }"),
}


def nearest(word: str, known: Collection[str]) -> str | None:
    """The known word that `word` most likely stands for, or None where none is close."""
    found = process.extractOne(word.casefold(), known, scorer=fuzz.ratio, score_cutoff=CLOSE)
    return found[0] if found else None


def suggest(word: str, known: Collection[str], otherwise: str) -> str:
    """A mend for an unknown word."""
    near = nearest(word, known)
    return f"did you mean `{near}`?" if near else otherwise


def validated(kind: type[BaseModel], raw: Mapping[str, Any]) -> BaseModel:
    """The checked model. Types are strict: a number in quotes is no number.

    Raises ValidationError.
    """
    # TOML's dates are no JSON; no field takes one, so a table in their place is as wrong as they.
    text = json.dumps(raw, default=lambda value: {"date": str(value)})
    return kind.model_validate_json(text, strict=True)


def faults(kind: type[BaseModel], raw: Mapping[str, Any]) -> list[Fault]:
    """Everything that is wrong with one entry, or an empty list."""
    try:
        validated(kind, raw)
    except ValidationError as error:
        errors = [e for e in error.errors(include_url=False)[:MANY] if not _echo(e)]
    else:
        return []
    # The rules between a movement's fields are asked here, in words of their own and all of them.
    rules = _rules(raw) if kind is model.Movement else []
    told = [_told(kind, raw, details) for details in errors if details["loc"] or not rules] + rules
    # A misspelt key is one mistake, not two: what it was meant for is not missing as well.
    meant = {
        (
            *_path(details["loc"])[:-1],
            nearest(str(details["loc"][-1]), _known(kind, details["loc"])),
        )
        for details in errors
        if details["type"] == "extra_forbidden"
    }
    return [one for one in told if not (one.path in meant and "missing" in one.what)]


def _echo(details: ErrorDetails) -> bool:
    """A list counted short only because entries in it are wrong, which are named themselves."""
    context = details.get("ctx", {})
    return details["type"] == "too_short" and len(details["input"]) >= context["min_length"]


def quoted(value: object) -> str:
    """A value as a coach would write it, short, with nothing that upsets a screen."""
    text = value if isinstance(value, str) else json.dumps(value, default=str)
    text = "".join(char if char.isprintable() else "?" for char in text)
    return f"`{text[:40]}...`" if len(text) > 43 else f"`{text}`"


def _rules(raw: Mapping[str, Any]) -> list[Fault]:
    """The rules between the fields, as far as the fields can be read."""
    dosage = raw.get("dosage")
    return movement_faults(
        phase=str(raw.get("phase", "main")),
        skill=raw.get("skill"),
        level=raw.get("level"),
        step=raw.get("step"),
        hazards=bool(raw.get("hazards")),
        safety=bool(raw.get("safety")),
        dosage=str(dosage.get("kind")) if isinstance(dosage, dict) else None,
        sides=str(raw.get("sides", "none")),
    )


def _told(kind: type[BaseModel], raw: Mapping[str, Any], details: ErrorDetails) -> Fault:
    error, context = details["type"], details.get("ctx", {})
    path = _path(details["loc"])
    key = str(path[-1]) if path else ""
    where = _words(path, raw)

    def given() -> str:
        return quoted(details["input"])

    def told(what: str, mend: str) -> Fault:
        return Fault(path, f"{where} {what}", mend)

    if error == "missing":
        return told("is missing", _ADD.get(key, f"add `{key}`"))
    if error == "extra_forbidden":
        known = _known(kind, details["loc"])
        inside = f" in {_words(path[:-1], raw)}" if path[:-1] else ""
        return Fault(
            path,
            f"there is no key {quoted(key)}{inside}",
            suggest(key, known, f"take it out, or use one of: {', '.join(known)}"),
        )
    if error == "union_tag_not_found":
        return told("does not say its kind", _ADD["kind"])
    if error in ("enum", "literal_error", "union_tag_invalid"):
        words = re.findall(r"'([^']*)'", str(context.get("expected") or context["expected_tags"]))
        tag = quoted(context["tag"]) if error == "union_tag_invalid" else given()
        where = f"`kind` of {where}" if error == "union_tag_invalid" else where
        return Fault(
            path,
            f"{where} is {tag}, which is none of: {', '.join(words)}",
            suggest(tag.strip("`"), words, "write one of these"),
        )
    if error == "string_pattern_mismatch":
        slug = (
            re.sub(r"[^a-z0-9]+", "_", str(details["input"]).lower())
            .lstrip("_0123456789")
            .rstrip("_")
        )
        mend = f"write for example {slug}" if slug else "write for example line_walk"
        return told(
            f"is {given()}, but has only small letters, digits and _ after a letter",
            mend,
        )
    if error in ("string_too_short", "string_too_long"):
        least, most = context.get("min_length"), context.get("max_length")
        length = len(str(details["input"]))
        limit = f"at least {least}" if least is not None else f"at most {most}"
        mend = "write more" if least is not None else "shorten it"
        return told(f"has {length} characters, but needs {limit}", mend)
    if error in ("too_short", "too_long"):
        least, most = context.get("min_length"), context.get("max_length")
        limit = f"at least {least}" if least is not None else f"at most {most}"
        mend = "add what is missing" if least is not None else "take some out"
        count = context.get("actual_length")
        return told(f"has {count} {'entry' if count == 1 else 'entries'}, but needs {limit}", mend)
    if error == "greater_than_equal":
        return told(f"is {given()}, but must be at least {context['ge']}", "write a larger number")
    if error == "less_than_equal":
        return told(f"is {given()}, but must be at most {context['le']}", "write a smaller number")
    if error == "value_error":
        what, _, mend = str(context.get("error", "")).partition(": ")
        return Fault(path, f"{where}: {what}", mend or "mend it")
    if error == "model_type" and _TABLES.get(key) is model.Range:
        return told(f"is {given()}, but must be two numbers", _ADD[key])
    if error in _TYPES:
        what, mend = _TYPES[error]
        return told(f"is {given()}, but {what}", mend)
    return told(f"is {given()}, which does not fit here", "compare it with another entry")


def _path(loc: tuple[int | str, ...]) -> Path:
    """The way through the file: the library's way without the kind of a dosage in it."""
    return tuple(
        part
        for place, part in enumerate(loc)
        if part != "[key]" and not (place and loc[place - 1] == "dosage")
    )


def _words(path: Path, raw: object) -> str:
    """`text` of entry 2 of `cues`; both numbers of a range may be written as a pair."""
    if not path:
        return "this entry"
    words, inner = "", raw
    for part in path:
        outer = inner
        inner = None
        if isinstance(outer, dict):
            inner = outer.get(part)
        elif isinstance(outer, list) and isinstance(part, int) and part < len(outer):
            inner = outer[part]
        if isinstance(outer, list) and part in ("low", "high"):
            name = "the first number" if part == "low" else "the second number"
        else:
            name = f"entry {part + 1}" if isinstance(part, int) else quoted(part)
        words = f"{name} of {words}" if words else name
    return words


@cache
def _keys(kind: type[BaseModel]) -> tuple[str, ...]:
    return tuple(kind.model_fields)


def _known(kind: type[BaseModel], loc: tuple[int | str, ...]) -> tuple[str, ...]:
    """The keys that the table which holds the last part of `loc` may have."""
    for place in range(len(loc) - 2, -1, -1):
        part = loc[place]
        if place and loc[place - 1] == "dosage":
            return _keys(_DOSAGES[str(part)])
        if part in _TABLES:
            return _keys(_TABLES[str(part)])
    return _keys(kind)
