from __future__ import annotations

import pytest

from intents.near import Near, Neighbours
from intents.phrases import Phrases
from intents.scope import EVERYTHING, Scope
from intents.vocabulary import Vocabulary


@pytest.fixture(scope="module")
def neighbours(phrases: Phrases, vocabulary: Vocabulary) -> Neighbours:
    return Neighbours(phrases, phrases.readers(vocabulary))


def near(neighbours: Neighbours, text: str, scope: Scope = EVERYTHING) -> Near | None:
    return neighbours.nearest(tuple(text.split()), scope)


@pytest.mark.parametrize(
    ("text", "intent"),
    [
        ("make it esier", "easier"),
        ("what is nexxt", "whats_next"),
        ("how mutch longer", "time_left"),
        ("read safety notes", "safety"),
        ("i fell off the again", "came_off"),
        ("i do not haave a bar", "lack"),
        ("thirty more secunds", "more_rest"),
    ],
)
def test_one_slip_is_forgiven(neighbours: Neighbours, text: str, intent: str) -> None:
    found = near(neighbours, text)
    assert found is not None
    assert found.template.intent == intent
    assert 0.84 <= found.similarity < 1


def test_values_are_read_strictly_and_kept(neighbours: Neighbours) -> None:
    found = near(neighbours, "thirty more secunds")
    assert found is not None
    assert [value for _, value in found.values] == [30]
    found = near(neighbours, "i do not haave a bar")
    assert found is not None
    assert [value for _, value in found.values] == ["bar"]


@pytest.mark.parametrize(
    "text",
    [
        "stopp",  # one word
        "nexxt",
        "pausse",
        "shop now",  # a stop, nearly
        "stopp now",
        "thirdy more seconds",  # a number
        "log fifteeen seconds",
        "effort sevn",
        "i do have any pain",  # a negation lost
        "it does hurt",
        "i do not feel dizy",  # would be a negation kept, but of a safety phrase
        "make it softer",  # another word, not a slip of "easier"
        "i like the milk",
        "give me coffee",
        "esier",
        "make it esier pleaze",  # two slips
        "",
        "x",
    ],
)
def test_what_is_not_near(neighbours: Neighbours, text: str) -> None:
    found = near(neighbours, text)
    if text == "i do not feel dizy":
        assert found is None or found.template.intent == "no"
    else:
        assert found is None


def test_what_is_near_but_out_of_scope_is_let_pass(neighbours: Neighbours) -> None:
    assert near(neighbours, "make it esier", Scope("x", frozenset({"next"}))) is None
    assert near(neighbours, "make it esier", Scope("x", frozenset({"easier"}))) is not None


def test_two_intents_that_are_as_near_are_not_guessed_between(neighbours: Neighbours) -> None:
    """The slip lies where "turn it up" and "turn it down" differ."""
    assert near(neighbours, "turn it xxxx") is None
