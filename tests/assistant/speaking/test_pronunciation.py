import tomllib
from importlib import resources

import pytest

from assistant.speaking.pronunciation import Pronunciation, for_language


def test_whole_words_in_any_case_and_the_longest_first() -> None:
    table = Pronunciation({"kip": "kipp", "kip up": "kip upp", "rpe": "R P E"})
    assert table.respelled("Kip up, kip, skip; RPE, rpes.") == "kip upp, kipp, skip; R P E, rpes."


def test_punctuation_of_a_word_is_no_pattern() -> None:
    table = Pronunciation({"l-sit": "ell sit", "a.b": "ab"})
    assert table.respelled("L-sit, axb, a.b") == "ell sit, axb, ab"


def test_an_empty_table_changes_nothing() -> None:
    assert Pronunciation({}).respelled("as it is") == "as it is"


def test_the_digest_tells_one_table_from_another() -> None:
    one, same, other = (Pronunciation(t) for t in ({"a": "b"}, {"A": "b"}, {"a": "c"}))
    assert one.digest == same.digest != other.digest


def test_a_language_without_a_table_is_spoken_as_written() -> None:
    assert for_language("xx").respelled("RPE") == "RPE"


@pytest.mark.parametrize("language", ["en"])
def test_no_respelling_of_ours_is_respelled_again(language: str) -> None:
    file = resources.files("assistant.speaking") / "data" / f"{language}.toml"
    table = for_language(language)
    for word, said in tomllib.loads(file.read_text(encoding="utf-8"))["respell"].items():
        assert table.respelled(word) == said
        assert table.respelled(said) == said
