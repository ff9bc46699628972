from __future__ import annotations

from itertools import pairwise

from intents.span import span
from intents.template import Line, flat, parse


def lines(*templates: str) -> list[Line]:
    return [line for template in templates for line in flat(parse(template))]


def neighbours(texts: list[str]) -> set[tuple[str, str]]:
    return {pair for text in texts for pair in pairwise(("", *text.split(), ""))}


def test_every_pair_of_words_occurs() -> None:
    texts = span(lines("log {n} reps", "{n}"), {"{n}": ["one", "two", "twenty one", "twenty two"]})
    whole = [f"log {n} reps" for n in ("one", "two", "twenty one", "twenty two")]
    assert neighbours(texts) == neighbours([*whole, "one", "two", "twenty one", "twenty two"])


def test_values_side_by_side() -> None:
    texts = span(lines("{a} {b}"), {"{a}": ["x", "y"], "{b}": ["p", "q"]})
    assert {("x", "p"), ("x", "q"), ("y", "p"), ("y", "q")} <= neighbours(texts)


def test_nothing_is_said_that_adds_nothing() -> None:
    texts = span(lines("a b", "a b", "a b c", "b c"), {})
    assert texts == ["a b", "a b c", "b c"]
