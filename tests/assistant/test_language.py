from __future__ import annotations

import pytest

from assistant.errors import InputError
from assistant.language import language_text, languages, phrases, understander


def test_english_is_there() -> None:
    assert "en" in languages()
    assert phrases("en") is phrases("en")
    assert "[intents.next]" in language_text("en", "phrases")


def test_an_unknown_language_is_named_with_those_that_are_known() -> None:
    with pytest.raises(InputError, match=r"There is no language 'xx'; use one of: .*en"):
        language_text("xx", "phrases")


def test_no_language_is_taken_from_outside_the_package() -> None:
    for code in ("..", "../..", "/", ""):
        with pytest.raises(InputError):
            language_text(code, "phrases")


def test_an_understander_works_without_a_catalogue() -> None:
    assert understander(None).understand("next").meanings[0].id == "next"
