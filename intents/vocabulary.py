"""The names of things and of parts of the body, as they are spoken, with their ids."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import chain

from catalogue.model import Catalogue
from intents.meaning import SlotValue
from intents.trie import FormReader, Tokens
from intents.words import Speller, WordData


@dataclass(frozen=True, eq=False)
class Vocabulary:
    """Spoken names (lower case, no article) and the ids that they stand for."""

    equipment: Mapping[str, str] = field(default_factory=dict)
    parts: Mapping[str, str] = field(default_factory=dict)


def vocabulary_of(catalogue: Catalogue | None, words: WordData) -> Vocabulary:
    """The names of a catalogue's equipment, singular and plural, and of the parts of the body.

    Things and parts that the language itself knows are added where the catalogue names nothing
    of that name: an athlete may lack what no movement needs.
    """
    items = catalogue.equipment.values() if catalogue else ()
    equipment = _named(
        chain(
            ((item.id, (item.name, *item.also)) for item in items),
            words.equipment.items(),
        ),
        words,
    )
    parts = _named(words.parts.items(), words)
    sided = {f"{side} {name}": part for side in words.sides for name, part in parts.items()}
    return Vocabulary(equipment, {**sided, **parts})


def heard_names(vocabulary: Vocabulary, words: WordData) -> dict[str, tuple[list[str], list[str]]]:
    """What recognisers listen for, by reader: what is said in front of a name, and the names.

    An empty front means that none need be said. Rare names are left out, and so are plurals of
    equipment. `my_part` and `the_equipment` begin with an article (or, for a part, its side): a
    short name by itself is too easily heard in noise.
    """
    rare = words.rare_names | {words.plural(name) for name in words.rare_names}
    more = {name: words.plural(name) for name in vocabulary.equipment}
    plurals = {plural for name, plural in more.items() if plural != name}
    things = [name for name in vocabulary.equipment if name not in rare | plurals]
    sided = {f"{side} {name}" for side in words.sides for name in vocabulary.parts}
    parts = [name for name in vocabulary.parts if name not in rare | sided]
    mine = list(words.spoken_determiners["part"])
    fronts = [*mine, *words.sides, *(f"{one} {side}" for one in mine for side in words.sides)]
    articles = list(words.spoken_determiners["equipment"])
    return {
        "equipment": (["", *articles], things),
        "the_equipment": (list(words.spoken_determiners["the_equipment"]), things),
        "part": (["", *fronts], parts),
        "my_part": (fronts, parts),
    }


def _named(things: Iterable[tuple[str, Iterable[str]]], words: WordData) -> dict[str, str]:
    names: dict[str, str] = {}
    for thing, spoken in things:
        for name in spoken:
            plain = " ".join(name.lower().replace("-", " ").split())
            names.setdefault(plain, thing)
            names.setdefault(words.plural(plain), thing)
    return names


class NameReader:
    """A reader of names, with or without an article before and a particle behind them."""

    def __init__(self, names: Mapping[str, str], words: WordData, speller: Speller) -> None:
        self._names = FormReader((speller.tokens(name), thing) for name, thing in names.items())
        self._before = [(), *map(speller.tokens, words.determiners)]
        self._behind = [(), *map(speller.tokens, words.particles)]

    def read(self, tokens: Tokens, at: int) -> Iterator[tuple[int, SlotValue]]:
        for front in self._before:
            start = at + len(front)
            if tokens[at:start] != front:
                continue
            for end, thing in self._names.read(tokens, start):
                for back in self._behind:
                    if tokens[end : end + len(back)] == back:
                        yield end + len(back), thing

    def open(self, tokens: Tokens, at: int) -> bool:
        rest = tokens[at:]
        return any(
            self._names.open(tokens, at + len(front))
            if rest[: len(front)] == front
            else front[: len(rest)] == rest
            for front in self._before
        )
