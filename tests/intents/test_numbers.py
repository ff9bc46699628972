"""Spoken numbers, against num2words (an independent library, LGPL) over 0 to 999, both ways."""

from __future__ import annotations

import pytest
from num2words import num2words

from intents.numbers import Numbers
from intents.phrases import Phrases


@pytest.fixture(scope="session")
def numbers(phrases: Phrases) -> Numbers:
    return phrases.numbers


def whole(numbers: Numbers, text: str) -> list[int]:
    """Every reading of a whole text as a count."""
    tokens = tuple(text.replace("-", " ").split())
    return [int(v) for end, v in numbers.count().read(tokens, 0) if end == len(tokens)]


def seconds(phrases: Phrases, text: str) -> set[int]:
    """Every reading of a whole text as a time."""
    tokens = phrases.speller.tokens(text)
    read = phrases.numbers.durations().read(tokens, 0)
    return {int(value) for end, value in read if end == len(tokens)}


def test_numbers_are_spoken_as_num2words_speaks_them(numbers: Numbers) -> None:
    assert [numbers.spoken(n) for n in range(1000)] == [num2words(n) for n in range(1000)]


def test_what_num2words_speaks_is_read_as_that_number_alone(numbers: Numbers) -> None:
    for n in range(1000):
        assert whole(numbers, num2words(n)) == [n], num2words(n)


def test_american_forms_of_num2words_are_read_too(numbers: Numbers) -> None:
    """Without "and", as numbers are read out in American English."""
    for n in range(100, 1000):
        assert whole(numbers, num2words(n).replace(" and ", " ")) == [n]


def test_every_form_has_one_value(numbers: Numbers) -> None:
    """No spoken form may stand for two numbers."""
    meant: dict[str, int] = {}
    for form, value in numbers.forms:
        plain = form.replace("-", " ")
        assert meant.setdefault(plain, value) == value, form


def test_forms_round_trip(numbers: Numbers) -> None:
    for form, value in numbers.forms:
        assert whole(numbers, form) == [value], form


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("one twenty", 120),
        ("one oh five", 105),
        ("two fifteen", 215),
        ("a hundred", 100),
        ("a hundred and five", 105),
        ("hundred twelve", 112),
        ("a dozen", 12),
        ("half a dozen", 6),
        ("nought", 0),
        ("0", 0),
        ("38", 38),
        ("999", 999),
    ],
)
def test_usual_ways(numbers: Numbers, text: str, value: int) -> None:
    assert whole(numbers, text) == [value]


@pytest.mark.parametrize(
    "text",
    ["fifteeen", "fiveteen", "thirty ten", "thirty eleven", "one two", "twenty twenty one",
     "one thousand", "1000", "a five", "minus one", "", "hundred hundred", "one oh", "ten twenty",
     "oh five"],
)  # fmt: skip
def test_what_is_no_number_is_not_read(numbers: Numbers, text: str) -> None:
    assert whole(numbers, text) == []


def test_fifteen_is_never_fifty(numbers: Numbers) -> None:
    """Each of these is read as itself, near as they sound."""
    for teen, ten in zip(range(13, 20), range(30, 100, 10), strict=True):
        assert whole(numbers, num2words(teen)) == [teen]
        assert whole(numbers, num2words(ten)) == [ten]


def test_a_number_in_a_range(numbers: Numbers) -> None:
    to_ten = numbers.count(0, 10)
    assert list(to_ten.read(("ten",), 0)) == [(1, 10)]
    assert list(to_ten.read(("eleven",), 0)) == []
    assert list(to_ten.read(("11",), 0)) == []
    assert list(to_ten.read(("twenty", "one"), 0)) == []


def test_a_number_may_still_grow(numbers: Numbers) -> None:
    reader = numbers.count()
    assert reader.open(("thirty",), 0)
    assert reader.open(("one", "hundred", "and"), 0)
    assert not reader.open(("thirty", "eight"), 0)
    assert not reader.open(("milk",), 0)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("thirty-eight seconds", 38),
        ("one second", 1),
        ("a minute", 60),
        ("one minute", 60),
        ("two minutes", 120),
        ("a minute ten", 70),
        ("a minute and ten seconds", 70),
        ("one minute twenty", 80),
        ("two minutes five", 125),
        ("two minutes and five seconds", 125),
        ("a minute and a half", 90),
        ("one and a half minutes", 90),
        ("two and a half minutes", 150),
        ("two minutes and a half", 150),
        ("half a minute", 30),
        ("half minute", 30),
        ("a quarter of a minute", 15),
        ("quarter of a minute", 15),
        ("three quarters of a minute", 45),
        ("a couple of minutes", 120),
        ("1:10", 70),
        ("0:45", 45),
        ("90 seconds", 90),
        ("90s", 90),
        ("2 min 30", 150),
        ("one twenty seconds", 120),
        ("nine hundred and ninety-nine seconds", 999),
    ],
)
def test_times(phrases: Phrases, text: str, value: int) -> None:
    assert seconds(phrases, text) == {value}


@pytest.mark.parametrize(
    "text",
    ["thirty", "a minute sixty", "1:60", "17 minutes", "a thousand seconds", "minute minute"],
)
def test_what_is_no_time_is_not_read(phrases: Phrases, text: str) -> None:
    assert seconds(phrases, text) == set()


def test_times_are_read_as_they_are_spoken(phrases: Phrases) -> None:
    for n in range(1, 1000):
        assert seconds(phrases, phrases.numbers.spoken_duration(n)) == {n}
    assert phrases.numbers.spoken_duration(70) == "one minute ten seconds"
    assert phrases.numbers.spoken_duration(1) == "one second"
    assert phrases.numbers.spoken_duration(0) == "zero seconds"


def test_only_0_to_999_can_be_spoken(numbers: Numbers) -> None:
    with pytest.raises(ValueError, match="1000 is not from 0 to 999"):
        numbers.spoken(1000)


GERMAN = """
[[class]]
name = "null"
words = { null = 0 }
[[class]]
name = "one"
words = { eins = 1 }
[[class]]
name = "ein"
words = { ein = 1 }
[[class]]
name = "digit"
words = { zwei = 2, drei = 3, vier = 4, "fünf" = 5, sechs = 6, sieben = 7, acht = 8, neun = 9 }
[[class]]
name = "teen"
[class.words]
zehn = 10
elf = 11
"zwölf" = 12
dreizehn = 13
vierzehn = 14
"fünfzehn" = 15
sechzehn = 16
siebzehn = 17
achtzehn = 18
neunzehn = 19
[[class]]
name = "tens"
[class.words]
zwanzig = 20
"dreißig" = 30
vierzig = 40
"fünfzig" = 50
sechzig = 60
siebzig = 70
achtzig = 80
neunzig = 90
[[class]]
name = "small"
forms = [{ say = "{one}" }, { say = "{digit}" }, { say = "{teen}" }, { say = "{tens}" },
    { say = "{ein}und{tens}" }, { say = "{digit}und{tens}" }]
[[class]]
name = "count"
forms = [{ say = "{null}" }, { say = "{small}" }, { say = "{ein}hundert", times = [100] },
    { say = "{digit}hundert", times = [100] }, { say = "{ein}hundert{small}", times = [100] },
    { say = "{digit}hundert{small}", times = [100] }]
[duration.slots]
seconds = { low = 0, high = 999, times = 1 }
[[duration.forms]]
say = "{seconds} (sekunde|sekunden)"
[speak]
second = "eine Sekunde"
seconds = "{n} Sekunden"
minute = "eine Minute"
minutes = "{n} Minuten"
"""

KOREAN = """
[[class]]
name = "zero"
words = { "영" = 0 }
[[class]]
name = "digit"
words = { "일" = 1, "이" = 2, "삼" = 3, "사" = 4, "오" = 5, "육" = 6, "칠" = 7, "팔" = 8, "구" = 9 }
[[class]]
name = "many"
words = { "이" = 2, "삼" = 3, "사" = 4, "오" = 5, "육" = 6, "칠" = 7, "팔" = 8, "구" = 9 }
[[class]]
name = "small"
forms = [{ say = "{digit}" }, { say = "십", add = 10 }, { say = "십{digit}", add = 10 },
    { say = "{many}십", times = [10] }, { say = "{many}십{digit}", times = [10] }]
[[class]]
name = "count"
forms = [{ say = "{zero}" }, { say = "{small}" }, { say = "백", add = 100 },
    { say = "백{small}", add = 100 }, { say = "{many}백", times = [100] },
    { say = "{many}백{small}", times = [100] }]
[duration.slots]
seconds = { low = 0, high = 999, times = 1 }
[[duration.forms]]
say = "{seconds} 초"
[speak]
second = "{n} 초"
seconds = "{n} 초"
minute = "{n} 분"
minutes = "{n} 분"
"""


@pytest.mark.parametrize(("data", "language"), [(GERMAN, "de"), (KOREAN, "ko")])
def test_another_language_is_data(data: str, language: str) -> None:
    """German joins its numbers and turns them round; Korean joins and multiplies (num2words)."""
    numbers = Numbers.read(data)
    for n in range(1000):
        assert numbers.spoken(n) == num2words(n, lang=language).replace(" ", ""), n
        assert whole(numbers, numbers.spoken(n)) == [n]


def test_data_that_can_not_say_a_number_is_refused() -> None:
    with pytest.raises(ValueError, match="the number 0 can not be said; add a form for it"):
        Numbers.read(KOREAN.replace('{ say = "{zero}" }, ', ""))
