"""Voices that take each other's place."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.speaking.cache import RenderCache
from assistant.speaking.port import Sound
from assistant.speaking.voice_box import VoiceBox


class Named:
    """A voice whose sound is its number, and that counts what it renders."""

    def __init__(self, name: str, value: int) -> None:
        self.name = name
        self.value = value
        self.rendered: list[str] = []

    def render(self, text: str, rate: int) -> Sound:
        self.rendered.append(text)
        return Sound(np.full(10, self.value, np.int16), rate)


@pytest.fixture
def voices() -> dict[str, Named]:
    return {"low": Named("low", 1), "high": Named("high", 2)}


@pytest.fixture
def box(voices: dict[str, Named]) -> VoiceBox:
    return VoiceBox(("low", "high"), lambda name: RenderCache(None, voices[name]))


def test_the_first_speaks_until_another_is_used(box: VoiceBox) -> None:
    assert (box.speaking, box.name) == ("low", "low")
    assert box.render("a", 160).samples[0] == 1
    box.use("high")
    assert (box.speaking, box.name) == ("high", "high")
    assert box.render("a", 160).samples[0] == 2


def test_only_the_voice_that_speaks_is_opened(voices: dict[str, Named]) -> None:
    opened: list[str] = []

    def make(name: str) -> RenderCache:
        opened.append(name)
        return RenderCache(None, voices[name])

    box = VoiceBox(("low", "high"), make)
    assert opened == []
    box.render("a", 160)
    box.render("b", 160)
    assert opened == ["low"]
    box.close()


def test_what_was_rendered_ahead_is_so_for_the_other_voice_too(
    box: VoiceBox, voices: dict[str, Named]
) -> None:
    box.warm(["a", "b"], 160)
    box.warm(["c"], 160)
    assert box.settle(5.0)
    assert box.ahead == 0
    box.use("high")
    assert box.settle(5.0)
    assert voices["low"].rendered == voices["high"].rendered == ["a", "b", "c"]
    box.close()


def test_a_voice_that_is_not_there_changes_nothing(box: VoiceBox) -> None:
    box.use("middle")
    assert box.speaking == "low"
