"""Pronunciations held against the CMU dictionary (in PocketSphinx's wheel) as if it lacked them."""

import random
from functools import cache

import pocketsphinx
import pytest
from rapidfuzz.distance import Levenshtein

from assistant.hearing.pronounce import arpabet, compound, pronounce, sounded_out


@cache
def dictionary() -> dict[str, list[list[str]]]:
    """Words with all pronunciations that the CMU dictionary gives."""
    words: dict[str, list[list[str]]] = {}
    path = pocketsphinx.get_model_path("en-us/cmudict-en-us.dict")
    with open(path, encoding="utf-8") as file:
        for line in file:
            word, *phones = line.split()
            words.setdefault(word.split("(")[0], []).append(phones)
    return words


def sample(count: int) -> list[str]:
    words = sorted(w for w in dictionary() if w.isalpha() and len(w) > 2)
    return random.Random(7).sample(words, count)


def error_rate(found: dict[str, str]) -> float:
    """Phones wrong of all phones, against the nearest of the pronunciations."""
    wrong = whole = 0
    for word, phones in found.items():
        pairs = [(Levenshtein.distance(phones.split(), p), len(p)) for p in dictionary()[word]]
        least = min(pairs)
        wrong, whole = wrong + least[0], whole + least[1]
    return wrong / whole


def test_held_out_words_sound_about_as_the_dictionary_says() -> None:
    # A fifth of these are surnames and places, where letters tell least; common words do better.
    found = {word: sounded_out(word) or "" for word in sample(2000)}
    assert sum(1 for phones in found.values() if not phones) <= 2
    assert error_rate(found) < 0.13


def test_every_phone_is_one_that_the_model_has() -> None:
    allowed = {p for ways in dictionary().values() for way in ways for p in way}
    made = {p for word in sample(2000) for p in (sounded_out(word) or "").split()}
    assert made <= allowed


def test_compounds_sound_like_their_parts() -> None:
    def known(word: str) -> str | None:
        return " ".join(dictionary()[word][0]) if word in dictionary() else None

    held_out = ["football", "basketball", "playground", "handstand", "skateboard", "weekend"]
    found = {word: compound(word, known) for word in held_out}
    assert all(found.values())
    assert error_rate({w: p for w, p in found.items() if p}) < 0.08
    assert compound("pull-up", known) == "P UH L AH P"
    assert compound("xyzzyq", known) is None


@pytest.mark.parametrize(
    ("word", "phones"),
    [
        ("burpee", "B ER P IY"),
        ("dumbbell", "D AH M B EH L"),
        ("chinup", "CH IH N AH P"),
    ],
)
def test_words_of_the_gym(word: str, phones: str) -> None:
    """Expected phones are from memory of how the words are said."""
    found = pronounce(word, lambda part: None)
    assert found is not None
    assert Levenshtein.distance(found.split(), phones.split()) <= 1


@pytest.mark.parametrize("word", ["", "123", "?!", "слово"])
def test_what_is_no_word_has_no_sound(word: str) -> None:
    assert pronounce(word, lambda part: None) is None


def test_an_unknown_sound_is_not_guessed() -> None:
    assert arpabet("ǃa") is None
