"""Which names of a catalogue sound so much like a phrase, or like each other, that one may be heard
for the other; and which phrases sound like what ends the work at once.

Compared is what a recogniser listens for together: the phrases of each scope, and the names of
things where a bare name is an answer. Names of movements are never answers, but the coach says
them aloud: they are compared with what ends the work at once. Pairs of other phrases are the
language's affair (`tests/intents/test_confusable.py`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from assistant.coach import Coach
from assistant.session.nodes import Node
from assistant.session.scopes import scope_at
from catalogue.model import Catalogue
from intents.confusable import Pair, heard_phrases, too_close
from intents.meaning import SAFETY_IDS
from intents.scope import Scope
from intents.vocabulary import heard_names

NEAR_NAMES = 0.8
"""Names this near to something else are reported: a little nearer than phrases may be, since names
are answers to a question about names (judgement)."""

Sounds = Callable[[Iterable[str]], Mapping[str, Sequence[str]]]
"""The phones of the words that can be sounded out."""


def alike(catalogue: Catalogue, coach: Coach, sounds: Sounds) -> list[Pair]:
    """The pairs, nearest first, each once; names stand with their ids in place of intents."""
    own = {*catalogue.equipment, *catalogue.movements}
    rows = [_heard(coach, scope_at(node)) for node in Node]
    safety = [row for row in rows[0] if row[1] in SAFETY_IDS]
    rows += [
        [*safety, (_plain(movement.name), movement.id)] for movement in catalogue.movements.values()
    ]
    words = {word for row in rows for text, _ in row for word in text.split()}
    known = sounds(words)
    found: dict[tuple[str, str], Pair] = {}
    for row in {tuple(_sounded(row, known)) for row in rows}:
        for pair in too_close(row, known):
            named = pair.distance <= NEAR_NAMES and not own.isdisjoint(pair.intents)
            if named or not SAFETY_IDS.isdisjoint(pair.intents):
                found.setdefault((pair.one, pair.other), pair)
    return sorted(found.values(), key=lambda pair: (pair.distance, pair.one, pair.other))


def in_words(pair: Pair) -> str:
    """A remark for whoever wrote the names."""
    return (
        f"{pair.one!r} ({pair.intents[0]}) and {pair.other!r} ({pair.intents[1]}) sound alike; "
        "one may be heard for the other, so use another name for one of them"
    )


def _heard(coach: Coach, scope: Scope) -> list[tuple[str, str]]:
    """What is listened for in a scope, numbers and parts of the body left out."""
    phrases = coach.understander.phrases
    heard = heard_phrases(phrases, scope)
    if "equipment" in scope.bare:
        vocabulary = coach.understander.vocabulary
        _, names = heard_names(vocabulary, phrases.words)["equipment"]
        heard += [(name, vocabulary.equipment[name]) for name in names]
    return heard


def _sounded(
    row: Iterable[tuple[str, str]], known: Mapping[str, Sequence[str]]
) -> list[tuple[str, str]]:
    return [(text, means) for text, means in row if all(word in known for word in text.split())]


def _plain(name: str) -> str:
    return " ".join(name.lower().replace("-", " ").split())
