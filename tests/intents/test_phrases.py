from __future__ import annotations

import tomllib
from importlib.resources import files

import pytest

from intents.meaning import INTENT_IDS, SAFETY_IDS
from intents.phrases import Phrases
from intents.template import TemplateError

FOLDER = files("intents") / "data" / "en"
PHRASES, NUMBERS, WORDS = (
    (FOLDER / f"{name}.toml").read_text(encoding="utf-8")
    for name in ("phrases", "numbers", "words")
)


FOR_SCOPE_TO_DECIDE = {"i am tired", "i am exhausted", "start again"}
"""More rest, or no at the check-in ("is your energy as usual?"); from a pause, or not."""


def test_every_intent_has_phrases_and_none_is_made_up(phrases: Phrases) -> None:
    assert set(phrases.intents) == set(INTENT_IDS)
    assert {template.intent for template in phrases.templates} == set(INTENT_IDS)


def test_costs(phrases: Phrases) -> None:
    instant = {i for i, data in phrases.intents.items() if data.cost == "instant"}
    assert instant == SAFETY_IDS | {"pause"}
    assert {i for i, data in phrases.intents.items() if data.cost == "asked"} == {"finish"}
    assert {i for i, data in phrases.intents.items() if data.cost == "answer"} == {"yes", "no"}
    assert phrases.intents["log"].cost == "read_back"
    assert not phrases.intents["stop"].near


def test_no_words_stand_for_two_intents(phrases: Phrases) -> None:
    seen: dict[str, str] = {}
    for template in phrases.templates:
        if template.bare:
            continue
        for line in phrases.folded_lines(template.node):
            text = " ".join(map(str, line))
            if text not in FOR_SCOPE_TO_DECIDE:
                assert seen.setdefault(text, template.intent) == template.intent, text


def test_pairs_go_both_ways(phrases: Phrases) -> None:
    assert frozenset(("log", "effort")) in phrases.pairs
    assert frozenset(("easier", "lack")) in phrases.pairs
    assert frozenset(("yes", "no")) not in phrases.pairs


def test_what_may_follow_in_one_breath_may_be_combined(phrases: Phrases) -> None:
    for intent, others in phrases.breath.items():
        for other in others:
            assert frozenset((intent, other)) in phrases.pairs


def broken(old: str, new: str) -> Phrases:
    assert old in PHRASES
    return Phrases.read(PHRASES.replace(old, new, 1), NUMBERS, WORDS)


@pytest.mark.parametrize(
    ("old", "new", "error", "text"),
    [
        ('"move on",', '"move [on",', TemplateError, "the '\\[' is never closed"),
        ('"move on",', '"move <onwards>",', TemplateError, "there is no piece <onwards>"),
        ('"move on",', '"move {speed}",', TemplateError, "nothing reads {speed}; use one of count"),
        ("[intents.next]", "[intents.forth]", ValueError, "no phrases for 'next'"),
        ('done = ["log",', 'done = ["lug",', ValueError, "'lug' is no intent"),
        ('[intents.stop]\ncost = "instant"', '[intents.stop]\ncost = "plain"', ValueError,
         'stop keeps people safe; give it cost = "instant"'),
        ('cost = "plain"', 'cost = "cheap"', ValueError, "cost"),
        ('cost = "plain"', "cost = plain", tomllib.TOMLDecodeError, "line"),
    ],
)  # fmt: skip
def test_broken_data_is_named(old: str, new: str, error: type[Exception], text: str) -> None:
    with pytest.raises(error, match=text):
        broken(old, new)
