"""What the entries of a catalogue ask of each other: ids, references, links and spoken names."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from typing import Any

from catalogue.entries import Entry
from catalogue.links import SUGGESTED, Node, link_faults
from catalogue.names import Name, clashes, plain_name
from catalogue.plain import quoted, suggest
from catalogue.problems import Fault, Path, Problem

_ID = re.compile(r"[a-z][a-z0-9_]*")


def cross_problems(entries: list[Entry], known: Mapping[str, Collection[str]]) -> Iterator[Problem]:
    """Every mistake between entries. `known` are all ids of each kind that exist."""
    yield from _twice(entries)
    yield from _references(entries, known)
    yield from _links(entries, known["movement"])
    yield from _silent(entries)
    yield from _clashing(entries)
    yield from _never(entries)


def _twice(entries: list[Entry]) -> Iterator[Problem]:
    first: dict[tuple[str, str], Entry] = {}
    for entry in entries:
        if entry.id is None:
            continue
        earlier = first.setdefault((entry.kind, entry.id), entry)
        if earlier is not entry:
            where = f"{earlier.source.file}:{earlier.source.lines.of((*earlier.path, 'id'))}"
            what = f"the id is taken already, at {where}"
            yield entry.problem(Fault(("id",), what, "give this one another id"))


def _references(entries: list[Entry], known: Mapping[str, Collection[str]]) -> Iterator[Problem]:
    """Skills and equipment that are named and do not exist."""
    count = 0
    for entry in entries:
        named: list[tuple[str, Path, str]] = []
        if entry.kind == "movement":
            skill = entry.text("skill")
            named += [("skill", ("skill",), skill)] if skill is not None else []
            named += [
                ("equipment", ("equipment", place), item)
                for place, item in entry.texts("equipment")
            ]
        for place, stand_in in enumerate(_stand_ins(entry)):
            item = stand_in.get("item")
            if isinstance(item, str):
                named.append(("equipment", ("stand_ins", place, "item"), item))
        for kind, path, word in named:
            if word in known[kind] or not _ID.fullmatch(word):
                continue
            count += 1
            mend = f"take it out, or add it under [[{kind}]]"
            if count <= SUGGESTED:
                mend = suggest(word, known[kind], mend)
            yield entry.problem(Fault(path, f"there is no {kind} `{word}`", mend))


def _links(entries: list[Entry], known: Collection[str]) -> Iterator[Problem]:
    owners: dict[str, Entry] = {}
    nodes: dict[str, Node] = {}
    for entry in entries:
        if entry.kind != "movement" or entry.id is None or entry.id in owners:
            continue
        owners[entry.id] = entry
        if not _readable(entry.raw.get("links", {})):
            continue
        nodes[entry.id] = Node(
            entry.id,
            entry.text("links", "regress"),
            entry.text("links", "progress"),
            tuple(target for _, target in entry.texts("links", "alternative")),
        )
    for movement, fault in link_faults(nodes, known):
        yield owners[movement].problem(fault)


def _readable(links: object) -> bool:
    """Whether links can be judged; what is wrong with their form is named elsewhere."""
    return isinstance(links, dict) and all(
        isinstance(links.get(key, ""), str) for key in ("regress", "progress")
    )


def _names(entries: list[Entry]) -> Iterator[Name]:
    for number, entry in enumerate(entries):
        spoken = entry.text("name")
        if spoken is not None:
            yield Name(number, ("name",), spoken)
        for place, word in entry.texts("also"):
            yield Name(number, ("also", place), word)
        for place, stand_in in enumerate(_stand_ins(entry)):
            if isinstance(stand_in.get("name"), str):
                path = ("stand_ins", place, "name")
                yield Name(number, path, stand_in["name"], stand_in=True)


def _silent(entries: list[Entry]) -> Iterator[Problem]:
    for name in _names(entries):
        if not plain_name(name.spoken):
            what = f"the name {quoted(name.spoken)} has no word in it"
            yield entries[name.owner].problem(Fault(name.path, what, "write how it is spoken"))


def _clashing(entries: list[Entry]) -> Iterator[Problem]:
    """Names that two things share, so that neither could be asked for by ear."""
    for later, earlier in clashes(name for name in _names(entries) if plain_name(name.spoken)):
        other = entries[earlier.owner]
        where = f"{other.source.file}:{other.source.lines.of((*other.path, *earlier.path))}"
        what = f"the spoken name {quoted(later.spoken)} is taken already, at {where}"
        yield entries[later.owner].problem(Fault(later.path, what, "choose another name"))


def _never(entries: list[Entry]) -> Iterator[Problem]:
    """A thing that both may and may never take an item's place, and a ban without its reason."""
    for entry in entries:
        if entry.kind != "equipment":
            continue
        allowed = {plain_name(str(stand_in.get("name", ""))) for stand_in in _stand_ins(entry)}
        for place, word in entry.texts("never"):
            if plain_name(word) in allowed:
                what = f"{quoted(word)} is both a stand-in and never one"
                yield entry.problem(Fault(("never", place), what, "keep one of the two"))
        if entry.raw.get("never") and "never_because" not in entry.raw:
            what = "`never` stands without its reason"
            yield entry.problem(Fault(("never",), what, 'add never_because = "..."'))


def _stand_ins(entry: Entry) -> list[dict[str, Any]]:
    """The tables under `stand_ins`, an empty one for what is no table."""
    found = entry.raw.get("stand_ins") if entry.kind == "equipment" else None
    if not isinstance(found, list):
        return []
    return [item if isinstance(item, dict) else {} for item in found]
