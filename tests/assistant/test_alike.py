"""Names that sound like something else, by the sounds of the CMU dictionary."""

from __future__ import annotations

import pytest

from assistant.alike import alike, in_words
from assistant.coach import Coach
from assistant.files import builtin_catalogue
from assistant.hearing.dictionary import sounds_of
from catalogue.load import load_catalogue
from intents.confusable import Pair
from tests.invented import catalogue as invented
from tests.invented import line_stand

DOSAGE = "{ kind = 'hold', seconds = [10, 20], sets = 1, rest = 20 }"


def pairs(thing: str = "bench", movement: str = "line stand") -> list[Pair]:
    text = invented(
        f'[[equipment]]\nid = "thing"\nname = "{thing}"',
        '[[equipment]]\nid = "pipe"\nname = "pipe"',
        line_stand(DOSAGE, name=movement),
    )
    catalogue = load_catalogue({"all.toml": text})
    return alike(catalogue, Coach.of(catalogue, "en"), sounds_of)


def test_the_built_in_catalogue_has_none() -> None:
    catalogue = builtin_catalogue()
    assert alike(catalogue, Coach.of(catalogue, "en"), sounds_of) == []


@pytest.mark.parametrize(
    ("thing", "other"), [("pike", "pipe"), ("paws", "pause"), ("mow", "no"), ("ladder", "louder")]
)
def test_a_thing_that_sounds_like_another_thing_or_like_a_command(thing: str, other: str) -> None:
    found = pairs(thing=thing)
    assert any({pair.one, pair.other} == {thing, other} for pair in found), found


@pytest.mark.parametrize(("movement", "other"), [("Stomp", "stop"), ("Stopped", "stop")])
def test_a_movement_that_sounds_like_what_ends_the_work(movement: str, other: str) -> None:
    found = pairs(movement=movement)
    assert any({pair.one, pair.other} == {movement.lower(), other} for pair in found), found


def test_names_far_from_everything_are_not_reported() -> None:
    assert pairs() == []


def test_the_remark_names_both_and_says_what_to_do() -> None:
    text = in_words(Pair("pike", "pipe", ("thing", "pipe"), 0.6))
    assert "'pike' (thing) and 'pipe' (pipe) sound alike" in text
    assert "use another name" in text
