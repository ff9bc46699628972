"""Sentences picked at random from what recognisers listen for, for tests and for rehearsals."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from intents.grammar import heard_templates
from intents.phrases import Phrases, Template
from intents.scope import Scope
from intents.template import Choice, Node, Piece, Slot, Word
from intents.template import Sequence as Row
from intents.vocabulary import Vocabulary, heard_names


@dataclass(frozen=True)
class Sample:
    """A sentence and the intent whose template it comes from."""

    text: str
    intent: str


def sample(
    phrases: Phrases, vocabulary: Vocabulary, scope: Scope, seed: int, n: int
) -> list[Sample]:
    """`n` sentences in scope, the same for the same seed; every intent is as likely as another."""
    chance = random.Random(seed)
    heard = heard_templates(phrases, vocabulary, scope)
    values = _values(phrases, vocabulary)
    out = []
    for _ in range(n):
        intent = chance.choice(sorted(heard))
        node = chance.choice(heard[intent]).node
        words = _walk(node, phrases, values, chance)
        if chance.random() < 0.5:
            words = phrases.words.run_together(words)
        if chance.random() < 0.1:
            words.insert(0, chance.choice(phrases.words.spoken_lead))
        if chance.random() < 0.1:
            words.append(chance.choice(phrases.words.spoken_tail))
        out.append(Sample(" ".join(words), intent))
    return out


def said_by(
    template: Template, phrases: Phrases, vocabulary: Vocabulary, chance: random.Random
) -> str:
    """One way to say a template, its choices and values picked by `chance`."""
    return " ".join(_walk(template.node, phrases, _values(phrases, vocabulary), chance))


@lru_cache(maxsize=8)
def _values(phrases: Phrases, vocabulary: Vocabulary) -> Mapping[str, Sequence[str]]:
    named = {
        reader: [f"{front} {name}" for front in fronts for name in names]
        for reader, (fronts, names) in heard_names(vocabulary, phrases.words).items()
    }
    counts = {
        reader: [" ".join(form) for form in phrases.numbers.tokens(low, high, reader)]
        for reader, (low, high) in phrases.usual.items()
    }
    times = [phrases.numbers.spoken_duration(n).replace("-", " ") for n in range(1, 600)]
    return {**named, **counts, "seconds": times}


def _walk(
    node: Node, phrases: Phrases, values: Mapping[str, Sequence[str]], chance: random.Random
) -> list[str]:
    match node:
        case Word(text):
            return [text]
        case Slot(_, reader):
            return chance.choice(values[reader]).split()
        case Piece(name):
            return _walk(phrases.pieces[name], phrases, values, chance)
        case Choice(options, optional):
            if optional and chance.random() < 0.5:
                return []
            return _walk(chance.choice(options), phrases, values, chance)
        case Row(items):
            return [word for item in items for word in _walk(item, phrases, values, chance)]
    raise AssertionError(node)
