"""Respellings; and that they sound as the CMU pronouncing dictionary says the word does."""

import shutil
import subprocess
import tomllib
from importlib import resources
from pathlib import Path

import pytest

from assistant.speaking.pronunciation import Pronunciation, for_language


def test_whole_words_in_any_case_and_the_longest_first() -> None:
    table = Pronunciation({"kip": "kipp", "kip up": "kip upp", "rpe": "R P E"})
    assert table.respelled("Kip up, kip, skip; RPE, rpes.") == "kip upp, kipp, skip; R P E, rpes."


def test_punctuation_of_a_word_is_no_pattern() -> None:
    table = Pronunciation({"l-sit": "ell sit", "a.b": "ab"})
    assert table.respelled("L-sit, axb, a.b") == "ell sit, axb, ab"


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("30 s", "30 seconds"),
        ("30s.", "30 seconds."),
        ("1 s", "1 second"),
        ("1.0 m", "1.0 metre"),
        ("0.5 m", "0.5 metres"),
        ("11 s", "11 seconds"),
        ("5 M", "5 M"),
        ("5 sit-ups", "5 sit-ups"),
        ("A5 s", "A5 s"),
        ("s", "s"),
    ],
)
def test_units_are_said_in_full_behind_a_number(written: str, said: str) -> None:
    units = {"s": ("second", "seconds"), "m": ("metre", "metres")}
    assert Pronunciation({}, units).respelled(written) == said


def test_an_empty_table_changes_nothing() -> None:
    assert Pronunciation({}).respelled("as it is, 30 s") == "as it is, 30 s"


def test_the_digest_tells_one_table_from_another() -> None:
    one, same, other = (Pronunciation(t) for t in ({"a": "b"}, {"A": "b"}, {"a": "c"}))
    assert one.digest == same.digest != other.digest
    assert Pronunciation({"a": "b"}, {"s": ("x", "y")}).digest != one.digest


def test_a_language_without_a_table_is_spoken_as_written() -> None:
    assert for_language("xx").respelled("RPE") == "RPE"


def test_what_is_for_one_engine_is_for_no_other() -> None:
    assert for_language("en", "espeak").respelled("Use a mat.") == "yooze a mat."
    assert for_language("en").respelled("Use a mat.") == "Use a mat."


@pytest.mark.parametrize("language", ["en"])
def test_no_respelling_of_ours_is_respelled_again(language: str) -> None:
    file = resources.files("assistant.speaking") / "data" / f"{language}.toml"
    tables = tomllib.loads(file.read_text(encoding="utf-8"))
    table = for_language(language, "espeak")
    for word, said in (tables["respell"] | tables["espeak"]).items():
        assert table.respelled(word) == said
        assert table.respelled(said) == said


# Against the outside: the CMU pronouncing dictionary as the pocketsphinx wheel carries it, and
# the phonemes that espeak-ng's own program makes of our spelling.

ESPEAK_TO_CMU = {
    "ju:": "Y UW", "oU": "OW", "e@": "EH R", "aU": "AW", "z": "Z", "k": "K", "l": "L", "s": "S",
    "t": "T", "b": "B",
}  # fmt: skip
"""Only the phonemes met here (espeak-ng's documentation of its mnemonics, from memory)."""


def cmu(word: str) -> set[str]:
    pocketsphinx = pytest.importorskip("pocketsphinx")
    file = Path(pocketsphinx.get_model_path("en-us/cmudict-en-us.dict"))
    entries = (line.split(maxsplit=1) for line in file.read_text().splitlines())
    return {sounds for name, sounds in entries if name.partition("(")[0] == word}


def phonemes(text: str) -> str:
    if shutil.which("espeak-ng") is None:
        pytest.skip("espeak-ng is not installed")
    ran = subprocess.run(
        ["espeak-ng", "-q", "-x", "--sep= ", "-v", "en", text], capture_output=True, text=True
    )
    marks = str.maketrans("", "", "',-;:_!")
    raw = ran.stdout.replace("u:", "u%").translate(marks).replace("u%", "u:")
    return " ".join(raw.replace("j u:", "ju:").split())


@pytest.mark.parametrize(
    ("line", "word", "sounds", "wrong"),
    [
        ("Use a rigid pipe", "use", "Y UW Z", "Y UW S"),
        ("Use the wall", "use", "Y UW Z", "Y UW S"),
        ("Keep your arms close while you turn", "close", "K L OW S", "K L OW Z"),
        ("Stand close to the floor", "close", "K L OW S", "K L OW Z"),
        ("These tear or slide", "tear", "T EH R", "T IH R"),
        ("kneeling bow", "bow", "B AW", "B OW"),
    ],
)
def test_words_with_two_sounds_get_the_right_one(
    line: str, word: str, sounds: str, wrong: str
) -> None:
    assert {sounds, wrong} <= cmu(word)
    said = phonemes(for_language("en", "espeak").respelled(line)).split()
    heard = " ".join(ESPEAK_TO_CMU.get(phoneme, "?") for phoneme in said)
    assert sounds in heard
    assert wrong not in heard
