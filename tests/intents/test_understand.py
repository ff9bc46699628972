"""Decisions, confidence and scope; what sentences mean is in test_sentences_en.py."""

from __future__ import annotations

import pydoc_data.topics
import re
from collections.abc import Iterator
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.language import understander as made
from intents.meaning import INTENT_IDS, SAFETY_IDS, Meaning
from intents.phrases import Phrases
from intents.scope import EVERYTHING, Scope
from intents.understand import ACT, ASK, NEAR, WITHIN, Understander

NEXT_ONLY = Scope("next only", frozenset({"next"}))


@pytest.mark.parametrize("intent", INTENT_IDS)
def test_every_intent_can_be_said_in_several_ways(phrases: Phrases, intent: str) -> None:
    said = [t for t in phrases.templates if t.intent == intent and t.bare is None]
    assert len(said) >= 4
    assert any(template.heard for template in said)


def test_an_exact_phrase_has_the_confidence_of_the_recogniser(understander: Understander) -> None:
    for confidence in (0.6, 0.8, 1.0):
        understood = understander.understand("next", EVERYTHING, confidence)
        assert (understood.confidence, understood.decision) == (confidence, "act")


@pytest.mark.parametrize(
    ("confidence", "decision"),
    [(ACT, "act"), (ACT - 0.01, "confirm"), (ASK, "confirm"), (ASK - 0.01, "pass"), (0.0, "pass")],
)
def test_less_sure_is_asked_and_unsure_is_let_pass(
    understander: Understander, confidence: float, decision: str
) -> None:
    assert understander.understand("next", EVERYTHING, confidence).decision == decision


def test_whether_no_was_said_is_hardly_asked(understander: Understander) -> None:
    for text in ("yes", "no"):
        assert understander.understand(text, EVERYTHING, NEAR - 0.01).decision == "pass"
        assert understander.understand(text, EVERYTHING, NEAR).decision == "confirm"


@pytest.mark.parametrize("text", ["stop", "my wrist hurts", "I feel dizzy"])
@pytest.mark.parametrize("confidence", [0.0, 0.3, 1.0])
def test_safety_acts_however_unsure_and_whatever_the_scope(
    understander: Understander, text: str, confidence: float
) -> None:
    for scope in (EVERYTHING, NEXT_ONLY):
        understood = understander.understand(text, scope, confidence)
        assert understood.decision == "act"
        assert understood.meanings[0].id in SAFETY_IDS


def test_ending_the_session_is_always_asked_about(understander: Understander) -> None:
    for text in ("finish", "end the session", "done, finish", "yes, finish"):
        understood = understander.understand(text)
        assert "finish" in [meaning.id for meaning in understood.meanings] or text == "done, finish"
        assert understood.decision in ("confirm", "pass")


def test_a_near_phrase_is_less_sure_and_asked_about(understander: Understander) -> None:
    exact = understander.understand("give me a different exercise")
    near = understander.understand("give me a diferent exercise")
    assert near.meanings == exact.meanings == (Meaning("swap"),)
    assert near.confidence < exact.confidence
    assert (exact.decision, near.decision) == ("act", "confirm")
    assert (
        understander.understand("give me a diferent exercise", EVERYTHING, 0.4).decision == "pass"
    )


def test_out_of_scope_passes_with_certainty(understander: Understander) -> None:
    understood = understander.understand("easier", NEXT_ONLY)
    assert understood.meanings == (Meaning("none"),)
    assert (understood.decision, understood.confidence) == ("pass", 1.0)


def test_none_is_the_less_sure_the_likelier_a_command_was(understander: Understander) -> None:
    assert understander.understand("next", EVERYTHING, 0.15).confidence == pytest.approx(0.85)
    assert understander.understand("a large coffee", EVERYTHING, 0.15).confidence == 1.0


def test_a_near_phrase_out_of_scope_does_not_become_another_in_scope(
    understander: Understander,
) -> None:
    slower = Scope("slower", frozenset({"slower"}))
    assert understander.understand("speak lauder", slower).decision == "pass"


def test_scope_decides_what_a_bare_number_is(understander: Understander) -> None:
    def meaning(bare: str, unit: str = "seconds") -> Meaning:
        scope = Scope("x", frozenset({"log"}), frozenset({bare}), unit)  # type: ignore[arg-type]
        return understander.understand("seven", scope).meanings[0]

    assert meaning("rpe") == Meaning("effort", {"rpe": 7})
    assert meaning("level") == Meaning("pain", {"level": 7})
    assert meaning("amount") == Meaning("log", {"seconds": 7})
    assert meaning("amount", "reps") == Meaning("log", {"reps": 7})
    assert meaning("amount", "per_side") == Meaning("log", {"per_side": 7})
    assert meaning("part") == Meaning("none")


def test_safety_comes_first_and_what_does_not_belong_with_it_is_dropped(
    understander: Understander,
) -> None:
    def ids(text: str) -> list[str]:
        understood = understander.understand(text)
        assert understood.decision == "act"
        return [meaning.id for meaning in understood.meanings]

    assert ids("easier, stop") == ["stop", "easier"]
    assert ids("stop, I feel dizzy, my wrist hurts") == ["unwell", "pain", "stop"]
    assert ids("next, louder, stop") == ["stop"]
    assert ids("finish, stop") == ["stop"]


def test_a_report_inside_other_speech(understander: Understander) -> None:
    understood = understander.understand("look over there my left wrist hurts man")
    assert understood.meanings == (Meaning("pain", {"part": "wrist"}),)
    assert (understood.confidence, understood.decision) == (WITHIN, "act")
    for other in ("she says my wrist hurts man", "what if my wrist hurts man", "his wrist hurts"):
        assert understander.understand(other).decision == "pass", other


@pytest.mark.parametrize(
    ("text", "instant"),
    [("stop", True), ("pause", True), ("that hurts", True), ("I feel sick", True), ("next", False),
     ("finish", False), ("log five", False), ("", False), ("no, my wrist hurts", True)],
)  # fmt: skip
def test_what_is_instant(understander: Understander, text: str, instant: bool) -> None:
    assert understander.is_instant(understander.understand(text)) is instant


@pytest.mark.parametrize(
    ("text", "grows"),
    [
        ("log", True),
        ("log thirty", True),
        ("log thirty eight", True),
        ("log thirty eight seconds", True),
        ("stop", False),
        ("finish", False),
        ("no", True),  # no pain
        ("done", False),
        ("easier", False),
        ("next", False),
        ("undo", False),
        ("effort", True),
        ("effort one", False),
        ("log one", True),
        ("okay", True),
        ("i", True),
        ("that", True),
        ("milk", False),
        ("did you see", False),
        ("undo that", False),
    ],
)
def test_what_could_grow(understander: Understander, text: str, grows: bool) -> None:
    assert understander.could_grow(text) is grows


def test_scope_narrows_what_could_grow(understander: Understander) -> None:
    assert not understander.could_grow("log", NEXT_ONLY)
    assert understander.could_grow("that", NEXT_ONLY)  # that hurts


def test_the_vocabulary_is_the_catalogues(phrases: Phrases) -> None:
    understander = made(None)
    (meaning,) = understander.understand("I don't have a pull-up bar").meanings
    assert meaning.slots["equipment"] == "bar"


def clauses() -> Iterator[str]:
    """Some nine thousand clauses of the Python reference manual (pydoc topics, PSF licence)."""
    text = re.sub(r"\n(?=\S)", " ", " ".join(pydoc_data.topics.topics.values()))
    yield from {" ".join(part.split()) for part in re.split(r"[.!?;:\n,()]+|\s{3,}", text)}


def test_a_manual_holds_no_command_but_single_words(understander: Understander) -> None:
    """Ordinary prose, written by others, acts only where a whole clause is a command's own words.

    Those are one or two words ("next", "and stop"); nothing longer, and nothing near.
    """
    said = [clause for clause in clauses() if 0 < len(clause.split()) <= 8]
    assert len(said) > 5000
    for clause in said:
        understood = understander.understand(clause)
        if understood.decision != "pass":
            assert len(understander.tokens(clause)) <= 2, clause
            assert understood.confidence == 1.0, clause


@cache
def english() -> Understander:
    return made(None)


@given(st.text(max_size=60))
@settings(max_examples=200, deadline=None)
def test_any_text_is_taken(text: str) -> None:
    understander = english()
    understood = understander.understand(text)
    assert understood.text == text
    assert 0 <= understood.confidence <= 1
    understander.could_grow(text)


COMMAND_WORDS = """
    stop next no not do my wrist hurts log five seconds and easier i feel dizzy
"""


@given(st.lists(st.sampled_from(COMMAND_WORDS.split()), max_size=12))
@settings(max_examples=300, deadline=None)
def test_any_row_of_command_words_is_taken(words: list[str]) -> None:
    understander = english()
    text = " ".join(words)
    understood = understander.understand(text)
    if understood.decision == "pass":
        assert understood.meanings == (Meaning("none"),)
    ids = [meaning.id for meaning in understood.meanings]
    safe = [i for i, name in enumerate(ids) if name in SAFETY_IDS]
    assert safe == list(range(len(safe))), "safety comes first"
    if text.endswith("not stop"):
        assert "stop" not in ids or text.count("stop") > 1
