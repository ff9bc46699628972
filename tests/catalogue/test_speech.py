"""Seconds of a text, checked against what the standard voice takes when it says it."""

from __future__ import annotations

import doctest
from collections.abc import Iterator

import pytest

from assistant.coach import lines_of
from assistant.files import builtin_catalogue
from assistant.speaking.pyttsx3_voice import Pyttsx3Voice
from catalogue import speech
from catalogue.speech import seconds_to_say
from catalogue.spoken import spoken_texts


@pytest.fixture(scope="module")
def voice() -> Iterator[Pyttsx3Voice]:
    opened = Pyttsx3Voice()
    yield opened
    opened.close()


def test_examples() -> None:
    assert doctest.testmod(speech).failed == 0


@pytest.mark.parametrize("rate", [120, 165, 230])
def test_the_standard_voice_takes_that_long(voice: Pyttsx3Voice, rate: int) -> None:
    lines = lines_of("en")
    fixed = [texts[0] for id, texts in lines.lines.items() if not lines.slots(id)]
    texts = fixed[::3] + [text for *_, text in spoken_texts(builtin_catalogue())][::20]
    said = [voice.render(text, rate).seconds for text in texts]
    told = [seconds_to_say(text, rate) for text in texts]
    assert sum(told) == pytest.approx(sum(said), rel=0.05)
    apart = [abs(a - b) for a, b in zip(said, told, strict=True)]
    assert sum(apart) / len(apart) < 0.25


def test_numbers_count_as_the_words_they_are() -> None:
    assert seconds_to_say("45 seconds", 165) == pytest.approx(
        seconds_to_say("forty five seconds", 165), abs=0.15
    )


def test_a_syllable_of_hangul_counts_as_its_sounds() -> None:
    assert seconds_to_say("한글", 165) > 2 * (seconds_to_say("ab", 165) - seconds_to_say("a", 165))
