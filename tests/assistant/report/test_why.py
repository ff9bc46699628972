"""A decision to read."""

from __future__ import annotations

from datetime import date

import pytest

from assistant.errors import InputError
from assistant.files import builtin_catalogue
from assistant.report.decisions import decided
from assistant.report.why import named, sets_table, why_text
from assistant.report.words import lines_of
from catalogue.history import History, SetDone
from catalogue.step_rules import RULES

CATALOGUE = builtin_catalogue()


@pytest.mark.parametrize("words", ["long_plank", "long plank", "Long-Plank"])
def test_a_movement_by_its_name_or_id(words: str) -> None:
    assert named(CATALOGUE, words).id == "long_plank"


def test_a_name_that_is_near_is_offered() -> None:
    with pytest.raises(InputError, match=r"did you mean 'long plank'\?"):
        named(CATALOGUE, "long plonk")
    with pytest.raises(InputError, match=r"none is near\. All of them: cuewalk why --list"):
        named(CATALOGUE, "qqqqqqqqq")


def test_sentence_rule_source_and_sets() -> None:
    sets = tuple(
        SetDone(739_300 + n, n, "line_walk", target=40, amount=41.6, rpe=6) for n in (1, 2)
    )
    movement = CATALOGUE.movements["line_walk"]
    text = why_text(decided(CATALOGUE, lines_of("en"), movement, History(sets), 739_303))
    joined = " ".join(text.split())
    assert "Stork stand comes after line walk" in joined
    assert RULES["top_twice"].says in joined
    assert f"Source: {RULES['top_twice'].source}." in joined
    assert joined.count("42 s 40 s 6") == 2
    assert max(map(len, text.splitlines())) <= 80


def test_what_was_never_trained_is_said() -> None:
    movement = CATALOGUE.movements["line_walk"]
    text = why_text(decided(CATALOGUE, lines_of("en"), movement, History(), 739_303))
    assert text.endswith("No set of line walk is on record yet.")


def test_the_table_tells_sides_and_troubles() -> None:
    table = sets_table(
        [
            SetDone(739_300, 1, "m", "left", 30, 12, "seconds", 2, None, True, False),
            SetDone(739_300, 1, "m", "right", 6, 6, "reps", 0, 8),
        ]
    )
    first, second = table.splitlines()[2:]
    day = date.fromordinal(739_300).isoformat()
    assert first.split() == [day, "left", "12", "s", "30", "s", "2", "broken", "off,", "pain"]
    assert second.split() == [day, "right", "6", "x", "6", "x", "8"]
