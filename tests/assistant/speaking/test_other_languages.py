"""A language's own voice and respellings: the Korean voice that comes with espeakng-loader."""

from __future__ import annotations

import sys

import numpy as np
import pytest

from assistant.language import languages
from assistant.speaking.pronunciation import for_language
from assistant.speaking.pyttsx3_voice import Pyttsx3Voice


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="elsewhere voices are installed")
def test_the_voice_goes_by_the_language() -> None:
    voice = Pyttsx3Voice(None, "ko")
    try:
        assert voice.choice().info.speaks("ko")
        sound = voice.render("사십오 초 쉬어요.", 165)
    finally:
        voice.close()
    assert np.abs(sound.samples.astype(np.int32)).max() > 1000


def test_units_and_trade_words_are_said_in_the_language() -> None:
    korean = for_language("ko")
    assert korean.respelled("3m, 20 s, RPE 7") == "3 미터, 20 초, 알 피 이 7"


@pytest.mark.parametrize("code", languages())
def test_every_language_has_a_table(code: str) -> None:
    assert for_language(code).respelled("RPE") != "RPE"
