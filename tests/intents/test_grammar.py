"""Grammars of every scope of a session, in PocketSphinx's own JSGF parser and dictionary."""

from __future__ import annotations

import re
from functools import cache
from itertools import pairwise

import pocketsphinx
import pytest

from assistant.session.nodes import Node
from assistant.session.scopes import scope_at
from intents.grammar import Grammar, make_grammar
from intents.phrases import Phrases
from intents.sample import sample
from intents.scope import EVERYTHING, Scope
from intents.understand import Understander
from intents.vocabulary import Vocabulary

SCOPES = (
    EVERYTHING,
    *(scope_at(node) for node in Node),
    scope_at(Node.REST, "reps"),
    Scope("amounts", frozenset({"log"}), frozenset({"amount", "rpe", "part", "equipment"})),
)
PICKED = 200
"""Sentences picked in each scope."""


@cache
def decoder() -> pocketsphinx.Decoder:
    return pocketsphinx.Decoder(lm=None, loglevel="FATAL")


@pytest.fixture(scope="module", params=SCOPES, ids=lambda scope: scope.name)
def scope(request: pytest.FixtureRequest) -> Scope:
    assert isinstance(request.param, Scope)
    return request.param


@pytest.fixture(scope="module")
def grammar(scope: Scope, phrases: Phrases, vocabulary: Vocabulary) -> Grammar:
    return make_grammar(phrases, vocabulary, scope)


def test_every_rule_that_is_named_is_defined_once(grammar: Grammar) -> None:
    """A rule that is named and not defined makes PocketSphinx drop all the rest without a word."""
    defined = re.findall(r"^(?:public )?<(\w+)> =", grammar.jsgf, re.M)
    assert len(set(defined)) == len(defined)
    assert set(re.findall(r"<(\w+)>", grammar.jsgf)) == set(defined)


def test_the_parser_accepts_picked_sentences_and_refuses_others(
    grammar: Grammar, scope: Scope, phrases: Phrases, vocabulary: Vocabulary
) -> None:
    machine = decoder().parse_jsgf(grammar.jsgf)
    for picked in sample(phrases, vocabulary, scope, seed=5, n=PICKED):
        assert machine.accept(picked.text), picked.text
    for other in ("can i get a large coffee", "stop and shop", "next thirty", "my", "log log", "a"):
        assert not machine.accept(other), other


def test_picked_sentences_are_understood_as_what_they_come_from(
    scope: Scope, phrases: Phrases, vocabulary: Vocabulary, understander: Understander
) -> None:
    for picked in sample(phrases, vocabulary, scope, seed=6, n=PICKED):
        understood = understander.understand(picked.text, scope)
        assert picked.intent in [m.id for m in understood.meanings], picked
        assert understood.decision == ("confirm" if picked.intent == "finish" else "act"), picked


def test_all_words_have_a_pronunciation(grammar: Grammar) -> None:
    missing = {word for word in grammar.words if decoder().lookup_word(word) is None}
    assert missing == set()


def test_words_are_those_of_both_forms(grammar: Grammar) -> None:
    plain = re.sub(r"<\w+>|^#.*$|^grammar .*$|\bpublic\b", " ", grammar.jsgf, flags=re.M)
    in_jsgf = set(re.findall(r"[^\W\d_]+(?:'[^\W\d_]+)*", plain))
    in_phrases = {word for phrase in grammar.phrases for word in phrase.split()}
    assert in_jsgf == in_phrases == set(grammar.words)


def test_phrases_span_what_is_said(
    grammar: Grammar, scope: Scope, phrases: Phrases, vocabulary: Vocabulary
) -> None:
    """Nearly all pairs of neighbouring words occur; the rest are polite words at the edges."""
    known = {p for phrase in grammar.phrases for p in pairwise(("", *phrase.split(), ""))}
    said = [
        pair
        for picked in sample(phrases, vocabulary, scope, seed=7, n=PICKED)
        for pair in pairwise(("", *picked.text.split(), ""))
    ]
    assert sum(pair in known for pair in said) / len(said) > 0.9
    assert len(grammar.phrases) < 4000


def test_safety_is_listened_for_everywhere(grammar: Grammar) -> None:
    machine = decoder().parse_jsgf(grammar.jsgf)
    for text in ("stop", "my left wrist hurts", "that hurts", "i feel dizzy", "i can't breathe"):
        assert machine.accept(text), text


def test_numbers_up_to_999_are_listened_for(phrases: Phrases, vocabulary: Vocabulary) -> None:
    """Every number as num2words (an independent library) would say it."""
    from num2words import num2words

    machine = decoder().parse_jsgf(make_grammar(phrases, vocabulary, EVERYTHING).jsgf)
    for n in range(1000):
        said = num2words(n).replace("-", " ")
        assert machine.accept(f"log {said} seconds"), said
    for n in range(11):
        assert machine.accept(f"effort {num2words(n)}")
    assert not machine.accept("effort eleven")


def test_two_in_one_breath(phrases: Phrases, vocabulary: Vocabulary) -> None:
    machine = decoder().parse_jsgf(make_grammar(phrases, vocabulary, EVERYTHING).jsgf)
    for text in (
        "log thirty eight seconds effort seven",
        "log thirty eight seconds and effort seven",
        "easier and i don't have a bar",
        "done effort eight",
        "no my left wrist hurts",
        "yes start",
        "undo log forty",
    ):
        assert machine.accept(text), text


def test_a_grammar_is_the_same_each_time(phrases: Phrases, vocabulary: Vocabulary) -> None:
    assert make_grammar(phrases, vocabulary, EVERYTHING) == make_grammar(
        phrases, vocabulary, EVERYTHING
    )


def test_a_household_without_equipment_can_still_speak(phrases: Phrases) -> None:
    grammar = make_grammar(phrases, Vocabulary({}, {"wrist": "wrist"}), EVERYTHING)
    assert decoder().parse_jsgf(grammar.jsgf).accept("my wrist hurts")
