"""The names of things and of parts of the body, as they are spoken, with their ids."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from itertools import chain

from catalogue.model import Catalogue
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


def usual_names(names: Mapping[str, str], words: WordData) -> list[str]:
    """Those of the names that recognisers listen for."""
    rare = words.rare_names | {words.plural(name) for name in words.rare_names}
    rare |= {f"{side} {name}" for side in words.sides for name in rare}
    return [name for name in names if name not in rare]


def _named(things: Iterable[tuple[str, Iterable[str]]], words: WordData) -> dict[str, str]:
    names: dict[str, str] = {}
    for thing, spoken in things:
        for name in spoken:
            plain = " ".join(name.lower().replace("-", " ").split())
            names.setdefault(plain, thing)
            names.setdefault(words.plural(plain), thing)
    return names


def name_reader(names: Mapping[str, str], words: WordData, speller: Speller) -> FormReader:
    """A reader of these names, with or without an article."""

    def forms() -> Iterable[tuple[Tokens, str]]:
        for name, thing in names.items():
            tokens = speller.tokens(name)
            yield tokens, thing
            for determiner in words.determiners:
                yield (determiner, *tokens), thing

    return FormReader(forms())
