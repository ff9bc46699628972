"""The gain that follows a speaker."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.demonstration.lines import script
from assistant.hearing.gain import CEILING, LEAST, MOST, TARGET, Gain
from assistant.hearing.levels import measure
from assistant.hearing.listener import blocks_of
from assistant.hearing.port import BLOCK, RATE, Samples
from assistant.hearing.wave import read_wave


def speech(at: float) -> Samples:
    """All the demonstration's recordings, their speech at a level in dBov, in a quiet room."""
    files = [line.file for line in script()[1] if line.file.exists()]
    sound = np.concatenate([np.pad(read_wave(file), RATE // 4) for file in files]).astype(float)
    now = measure(sound.astype(np.int16)).speech
    assert now is not None
    hiss = np.random.default_rng(1).normal(0, 0.6, len(sound))
    return np.clip(sound * 10 ** ((at - now) / 20) + hiss, -32_768, 32_767).astype(np.int16)


def through(gain: Gain, sound: Samples, noise: float = -80.0) -> Samples:
    return np.concatenate([gain.hear(block, noise) for block, _ in blocks_of(sound)])


@pytest.mark.parametrize("distance", [-14.0, 8.0])
def test_speech_is_brought_to_its_level(distance: float) -> None:
    sound = speech(TARGET + distance)
    out = through(Gain(), sound)
    late = measure(out[len(out) // 2 :]).speech
    assert late is not None
    assert late == pytest.approx(TARGET, abs=4.5)


def test_a_speaker_who_walks_away_is_followed() -> None:
    gain = Gain()
    through(gain, speech(TARGET))
    before = gain.decibels
    through(gain, speech(TARGET - 15))
    assert gain.decibels > before + 8


def test_noise_is_not_learned_from_and_not_brought_up() -> None:
    gain = Gain()
    noise = np.random.default_rng(2).normal(0, 60, 10 * RATE).astype(np.int16)
    out = through(gain, noise, noise=-55.0)
    assert gain.decibels == 0
    assert np.array_equal(out[: len(noise)], noise)
    loud_room = Gain()
    loud_room.start(speech=-50.0, noise=-46.0)
    through(loud_room, speech(-50.0), noise=-46.0)
    assert loud_room.decibels <= 1.5


def test_bounds_and_no_sample_beyond_the_scale() -> None:
    gain = Gain()
    gain.start(speech=-90.0, noise=-95.0)
    assert gain.decibels == MOST
    shout = np.full(BLOCK, 20_000, np.int16)
    assert np.max(np.abs(gain.hear(shout, -80.0).astype(int))) <= CEILING
    gain.start(speech=-1.0, noise=-95.0)
    assert gain.decibels == LEAST


def test_sound_of_the_coach_is_not_learned_from() -> None:
    gain = Gain()
    for block, _ in blocks_of(speech(-45.0)):
        gain.hear(block, -80.0, learn=False)
    assert gain.decibels == 0
