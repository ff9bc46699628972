"""How loud it is: levels against ITU-T G.100.1, and speech told from the noise of a room."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from assistant.hearing.levels import level, measure
from assistant.hearing.port import RATE, Samples
from assistant.hearing.wave import read_wave
from tests.assistant.hearing.sounds import in_room


def test_levels_are_those_of_the_standard() -> None:
    """ITU-T G.100.1: a full-scale sine is at -3.01 dBov (from memory)."""
    tone = np.round(32_767 * np.sin(2 * np.pi * 1000 * np.arange(RATE) / RATE)).astype(np.int16)
    assert level(tone) == pytest.approx(-3.01, abs=0.01)
    assert level((tone // 10).astype(np.int16)) == pytest.approx(-23.01, abs=0.02)


def test_a_word_stands_out_as_far_as_it_was_mixed(say: Callable[[str, str], Samples]) -> None:
    word = say("ready", "slt").astype(float)
    loud = word[np.abs(word) > 500]
    for ratio in (10, 20, 30):
        noise = np.sqrt(np.mean(loud**2)) / 10 ** (ratio / 20)
        mixed = in_room(word.astype(np.int16)).astype(float)
        mixed += np.random.default_rng(ratio).normal(0, noise, len(mixed))
        found = measure(mixed.astype(np.int16))
        assert found.ratio == pytest.approx(ratio, abs=4)
        assert found.seconds < len(word) / RATE


def test_a_kitchen_in_which_nobody_speaks_is_no_speech(recordings: Path) -> None:
    """Pans and water, recorded: WebRTC's detector of voices took three stretches of four for
    speech."""
    kitchen = read_wave(recordings / "kitchen-noise.wav")
    parts = [kitchen[at : at + 4 * RATE] for at in range(0, len(kitchen) - 4 * RATE, 5 * RATE)]
    silent = [measure(part).speech is None for part in parts]
    assert np.mean(silent) > 0.7, silent
