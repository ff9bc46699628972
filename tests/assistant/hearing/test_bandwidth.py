"""Half of speech is told from the whole, by recorded speech brought through 8 kHz and back."""

from __future__ import annotations

import numpy as np
import pytest
import soxr

from assistant.demonstration.lines import FOLDER
from assistant.hearing.bandwidth import NARROW, high_share, is_narrow
from assistant.hearing.port import RATE, Samples
from assistant.hearing.wave import read_wave
from tests.assistant.hearing.sounds import hiss, in_room

SPEECH = sorted(FOLDER.glob("*.wav"))


def through(sound: Samples, rate: int) -> Samples:
    """As a device of that rate gives it, brought back to ours."""
    device = soxr.resample(sound, RATE, rate, quality="HQ")
    return soxr.resample(device, rate, RATE, quality="HQ").astype(np.int16)


@pytest.mark.parametrize("file", SPEECH, ids=lambda file: file.stem)
def test_speech_is_whole_and_half_of_it_is_not(file) -> None:  # type: ignore[no-untyped-def]
    sound = in_room(read_wave(file))
    for rate in (16_000, 44_100, 48_000):
        assert not is_narrow(through(sound, rate)), rate
    assert is_narrow(through(sound, 8_000))


def test_the_threshold_lies_between_with_room_on_both_sides() -> None:
    shares = [high_share(in_room(read_wave(file))) for file in SPEECH]
    halves = [high_share(through(in_room(read_wave(file)), 8_000)) for file in SPEECH]
    assert min(s for s in shares if s is not None) > NARROW + 10
    assert max(s for s in halves if s is not None) < NARROW - 10


def test_silence_and_noise_are_not_called_narrow() -> None:
    assert not is_narrow(np.zeros(RATE, np.int16))
    assert not is_narrow(np.zeros(10, np.int16))
    assert not is_narrow(hiss(1.0))
