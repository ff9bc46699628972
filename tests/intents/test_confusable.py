"""Likeness of sounds, with the pronunciations of the CMU dictionary (in PocketSphinx's wheel)."""

from __future__ import annotations

from functools import cache
from itertools import combinations
from statistics import median

import pocketsphinx
import pytest
from rapidfuzz.distance import Levenshtein

from assistant.session.nodes import Node
from assistant.session.scopes import scope_at
from intents.confusable import change, distance, heard_phrases, phones, plain, too_close
from intents.meaning import SAFETY_IDS
from intents.phrases import Phrases


@cache
def dictionary() -> dict[str, list[str]]:
    words: dict[str, list[str]] = {}
    path = pocketsphinx.get_model_path("en-us/cmudict-en-us.dict")
    with open(path, encoding="utf-8") as file:
        for line in file:
            word, *sounds = line.split()
            words.setdefault(word, sounds)
    return words


def apart(one: str, other: str) -> float:
    return distance(phones(one, dictionary()), phones(other, dictionary()))


WORDS = (
    *("stop", "start", "pause", "resume", "next", "back", "easier", "harder", "louder", "slower"),
    *("undo", "finish", "finished", "seven", "eight", "eighty", "fifteen", "fifty", "yes", "no"),
)


def test_it_is_a_distance() -> None:
    for one, other in combinations(WORDS, 2):
        assert apart(one, other) == pytest.approx(apart(other, one))
        assert apart(one, other) > 0
    for word in WORDS:
        assert apart(word, word) == 0
    for a, b, c in combinations(WORDS[:12], 3):
        assert apart(a, c) <= apart(a, b) + apart(b, c) + 1e-9


def test_it_lies_between_bounds_of_plain_edit_distance() -> None:
    """Against rapidfuzz's Levenshtein over the same phones: no change costs more than 1 or less
    than 0.2."""
    for one, other in combinations(WORDS, 2):
        a, b = ([plain(p) for p in dictionary()[word]] for word in (one, other))
        edits = Levenshtein.distance(a, b)
        assert 0.2 * edits <= distance(a, b) <= edits


def test_pairs_that_recognisers_were_seen_to_confuse_are_near() -> None:
    """Confusions seen with PocketSphinx on synthetic voices: nearer than nearly all pairs."""
    seen = [("stop", "start"), ("eight", "eighty"), ("fifteen", "fifty"), ("finish", "finished")]
    usual = median(apart(one, other) for one, other in combinations(WORDS, 2))
    for one, other in seen:
        assert apart(one, other) < usual * 0.6, (one, other)


def test_sounds_of_a_kind_cost_less() -> None:
    assert change("T", "D") < change("T", "K") < change("T", "M")
    assert change("IY", "IH") < change("IY", "AA")
    assert change("AA", "K") == 1.0
    assert change("W", "UW") < change("W", "K")


def test_only_different_meanings_are_reported() -> None:
    phrases = [("stop", "stop"), ("swap", "swap"), ("stops", "stop"), ("banana", "next")]
    pairs = too_close(phrases, dictionary())
    assert [(pair.one, pair.other) for pair in pairs] == [("stop", "swap")]
    assert pairs[0].intents == ("stop", "swap")


def test_nothing_is_missed_by_the_quick_look() -> None:
    """The first, rough comparison must drop no pair that the exact one would report."""
    phrases = [(word, word) for word in WORDS]
    quick = {(pair.one, pair.other) for pair in too_close(phrases, dictionary(), 1.5)}
    assert quick == {(a, b) for a, b in combinations(WORDS, 2) if apart(a, b) <= 1.5}


def test_a_word_without_pronunciation_is_named() -> None:
    with pytest.raises(ValueError, match="no pronunciation for 'xyzzy'"):
        too_close([("xyzzy", "next")], dictionary())


@pytest.mark.parametrize("node", list(Node), ids=lambda node: node.value)
def test_safety_words_have_no_near_neighbour(phrases: Phrases, node: Node) -> None:
    for pair in too_close(heard_phrases(phrases, scope_at(node)), dictionary()):
        assert SAFETY_IDS.isdisjoint(pair.intents), pair


def test_few_phrases_of_a_scope_sound_alike(phrases: Phrases) -> None:
    """Known and left: people say each of these, and what is mistaken can be mended."""
    known = {("done", "none"), ("speak up", "speed up"), ("finished", "finish"), ("go", "no"),
             ("not really", "not ready")}  # fmt: skip
    for node in Node:
        for pair in too_close(heard_phrases(phrases, scope_at(node)), dictionary()):
            assert (pair.one, pair.other) in known, (node, pair)
