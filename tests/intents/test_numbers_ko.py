"""Korean numbers, against CLDR's spell-out rules (PyPI's unicode-rbnf) and num2words, 0 to 999."""

from __future__ import annotations

import pytest
from num2words import num2words
from unicode_rbnf import RbnfEngine

from assistant.language import phrases as phrases_of
from intents.phrases import Phrases

SINO = "spellout-cardinal-sinokorean"
NATIVE = "spellout-cardinal-native"
COUNTING = "spellout-cardinal-native-attributive"


@pytest.fixture(scope="module")
def phrases() -> Phrases:
    return phrases_of("ko")


@pytest.fixture(scope="module")
def cldr() -> dict[str, list[str]]:
    """0 to 999 in words, by CLDR's set of rules."""
    engine = RbnfEngine.for_language("ko")
    found = [engine.format_number(n).text_by_ruleset for n in range(1000)]
    return {rules: [texts[rules] for texts in found] for rules in (SINO, NATIVE, COUNTING)}


def read(phrases: Phrases, reader: str, text: str) -> set[int]:
    """Every reading of a whole text."""
    tokens = phrases.speller.tokens(text)
    low, high = phrases.ranges[reader]
    found = phrases.numbers.count(low, high, reader).read(tokens, 0)
    return {int(value) for end, value in found if end == len(tokens)}


def seconds(phrases: Phrases, text: str) -> set[int]:
    tokens = phrases.speller.tokens(text)
    found = phrases.numbers.durations().read(tokens, 0)
    return {int(value) for end, value in found if end == len(tokens)}


def test_numbers_are_spoken_as_both_libraries_speak_them(
    phrases: Phrases, cldr: dict[str, list[str]]
) -> None:
    spoken = [phrases.numbers.spoken(n).replace(" ", "") for n in range(1000)]
    assert spoken == cldr[SINO]
    assert spoken == [num2words(n, lang="ko").replace(" ", "") for n in range(1000)]


def test_sino_korean_numbers_are_read_with_and_without_spaces(
    phrases: Phrases, cldr: dict[str, list[str]]
) -> None:
    for n in range(1000):
        assert read(phrases, "count", cldr[SINO][n]) == {n}
        assert read(phrases, "count", phrases.numbers.spoken(n)) == {n}
        assert read(phrases, "counter", cldr[SINO][n]) == {n}


def test_native_numbers_are_read(phrases: Phrases, cldr: dict[str, list[str]]) -> None:
    """By themselves to 99, as they go on in Sino-Korean from there."""
    for n in range(1, 1000):
        assert read(phrases, "count", cldr[NATIVE][n]) == {n}, cldr[NATIVE][n]


def test_native_numbers_before_a_counter_are_read(
    phrases: Phrases, cldr: dict[str, list[str]]
) -> None:
    for n in range(1, 1000):
        assert read(phrases, "counter", cldr[COUNTING][n]) == {n}, cldr[COUNTING][n]


def test_every_form_of_a_reader_has_one_value(phrases: Phrases) -> None:
    for reader in ("count", "counter", "rpe"):
        low, high = phrases.ranges[reader]
        for form in phrases.numbers.tokens(low, high, reader):
            assert len(read(phrases, reader, "".join(form))) == 1, form


def test_the_shortened_forms_need_a_counter(phrases: Phrases) -> None:
    """네 by itself is yes, and 한, 두, 세 are no numbers without a thing that is counted."""
    for form in ("한", "두", "세", "네", "스무"):
        assert read(phrases, "counter", form)
        assert not read(phrases, "count", form)
        assert not read(phrases, "rpe", form)


def test_a_mark_from_0_to_10_may_come_from_either_row(
    phrases: Phrases, cldr: dict[str, list[str]]
) -> None:
    for n in range(11):
        assert read(phrases, "rpe", cldr[SINO][n]) == {n}
        assert read(phrases, "rpe", cldr[NATIVE][n]) == {n}
        assert read(phrases, "rpe", str(n)) == {n}


def test_times_are_read_as_they_are_spoken(phrases: Phrases, cldr: dict[str, list[str]]) -> None:
    for n in range(1000):
        assert seconds(phrases, f"{cldr[SINO][n]}초") == {n}
        assert seconds(phrases, f"{n}초") == {n}
        assert seconds(phrases, phrases.numbers.spoken_duration(n)) == {n}


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("일분", 60), ("1분 30초", 90), ("1분반", 90), ("이분십오초", 135), ("삼 분", 180),
        ("1:10", 70), ("열 초", 10), ("서른여덟초", 38), ("반분", 30), ("1분 20", 80),
    ],
)  # fmt: skip
def test_times(phrases: Phrases, text: str, value: int) -> None:
    """Forms from memory."""
    assert seconds(phrases, text) == {value}
