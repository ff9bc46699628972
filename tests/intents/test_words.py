from __future__ import annotations

import pytest

from intents.phrases import Phrases
from intents.words import Speller


@pytest.mark.parametrize(
    ("text", "tokens"),
    [
        ("Next!", "next"),
        ("  okay ,  next...please ", "okay next please"),
        ("I don't", "i do not"),
        ("I don\u2019t", "i do not"),
        ("I DONT", "i do not"),
        ("I can't, cannot", "i can not can not"),
        ("I've got a bar", "i have a bar"),
        ("I haven't got a bar", "i do not have a bar"),
        ("thirty-eight", "thirty eight"),
        ("pull\u2011up bar", "pull up bar"),
        ("pull–up bar", "pull up bar"),
        ("38s", "38 seconds"),
        ("12 reps", "12 reps"),
        ("1:10", "1:10"),
        ("R.P.E. 7", "r p e 7"),
        ("RPE 7", "r p e 7"),
        ("7/10", "7 out of ten"),
        ("metres", "meters"),
        ("ＮＥＸＴ", "next"),
        ("next 🙂", "next"),
        ("[unk]", "unk"),
        ("", ""),
        ("?!.,;", ""),
    ],
)
def test_spellings(phrases: Phrases, text: str, tokens: str) -> None:
    assert " ".join(phrases.speller.tokens(text)) == tokens


def test_the_longest_spelling_wins() -> None:
    speller = Speller({"a": "x", "a b": "y"})
    assert speller.tokens("a b a c") == ("y", "x", "c")


def test_other_scripts_are_words_too() -> None:
    assert Speller({}).tokens("다음 운동, größer") == ("다음", "운동", "größer")


@pytest.mark.parametrize(
    ("one", "many"),
    [("bar", "bars"), ("box", "boxes"), ("bench", "benches"), ("body", "bodies"), ("key", "keys"),
     ("rings", "rings"), ("foot", "feet"), ("calf", "calves"), ("pull up bar", "pull up bars")],
)  # fmt: skip
def test_plurals(phrases: Phrases, one: str, many: str) -> None:
    assert phrases.words.plural(one) == many


def test_every_spelling_is_brought_to_one_that_stays(phrases: Phrases) -> None:
    """What a spelling is brought to must not itself be brought to something else."""
    for meant in phrases.words.same.values():
        tokens = phrases.speller.tokens(meant)
        assert phrases.speller.fold(tokens) == tokens, meant


def test_contractions_mean_what_they_are_short_for(phrases: Phrases) -> None:
    for apart, together in phrases.words.contractions.items():
        assert phrases.speller.tokens(together) == phrases.speller.tokens(apart)
