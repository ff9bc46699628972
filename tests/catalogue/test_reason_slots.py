"""Every reason has a sentence in every language, and every sentence gets what it needs."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import catalogue
from assistant.files import builtin_catalogue
from assistant.language import language_text
from catalogue.hand_load import _FRACTIONS
from catalogue.model import BodyPart, Hazard
from catalogue.reason_slots import SLOTS
from intents.lines import Line, Lines

LANGUAGES = ["en"]
FOLDER = Path(catalogue.__file__).parent


def _lines(language):
    return Lines.load(language_text(language, "lines"), language_text(language, "reasons"))


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_reason_has_a_sentence_and_no_sentence_is_left_over(language):
    found = {id_ for id_ in _lines(language).lines if id_.startswith("reason.")}
    assert found == {f"reason.{id_}" for id_ in SLOTS}


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("reason_id", SLOTS)
def test_a_sentence_asks_only_for_what_it_is_given(language, reason_id):
    assert _lines(language).slots(f"reason.{reason_id}") <= set(SLOTS[reason_id])


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_sentence_can_be_said(language):
    lines = _lines(language)
    numbers = {"metres", "sets", "of", "minutes", "spare", "steps", "level", "load", "percent",
               "sessions", "amount"}  # fmt: skip
    for reason_id, slots in SLOTS.items():
        values = {slot: 3 if slot in numbers else "half" for slot in slots}
        values |= {slot: "It is so." for slot in slots if slot in ("condition", "easier_because")}
        said = lines.render(Line(f"reason.{reason_id}", values))
        assert "{" not in said
        assert said[-1] in ".?"


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_id_that_is_spoken_has_a_word(language):
    words = _lines(language).words
    units = ["seconds", "reps", "reps_per_side", "metres"]
    needed = [*Hazard, "left", "right", *_FRACTIONS, *units, *(f"{unit}_one" for unit in units)]
    assert not [word for word in needed if word not in words]
    # Body parts are their own words where a language has no other.
    assert all(_lines(language).word(part) for part in BodyPart)


def test_sentences_are_short_enough_to_be_heard():
    """At most thirty words with the longest names of the catalogue, without the coach's own
    sentences. The number is judgement."""
    lines, names = (
        _lines("en"),
        sorted((movement.name for movement in builtin_catalogue().movements.values()), key=len),
    )
    for reason_id, slots in SLOTS.items():
        values = dict.fromkeys(slots, 3) | {
            slot: names[-1] for slot in slots if "movement" in slot or slot == "instead_of"
        }
        values |= {slot: "" for slot in slots if slot in ("condition", "easier_because")}
        assert len(lines.render(Line(f"reason.{reason_id}", values)).split()) <= 30, reason_id


def test_no_reason_is_built_under_an_unknown_id():
    """Every id written out in the package's code is in the contract."""
    for path in FOLDER.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Reason":
                given = next(word.value for word in node.keywords if word.arg == "id")
                if isinstance(given, ast.Constant):
                    assert given.value in SLOTS, path.name
