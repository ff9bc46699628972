import numpy as np
import pytest

from assistant.speaking.port import Sound
from assistant.speaking.shape import LEAD, PEAK, TAIL, at_rate, shaped

RATE = 22_050


def test_silence_goes_and_the_sound_stays_whole() -> None:
    sound = np.sin(np.arange(RATE) * 0.1) * 5000
    padded = np.concatenate([np.zeros(RATE), sound, np.zeros(RATE // 2)])
    made = shaped(Sound(padded.astype(np.int16), RATE))
    assert made.seconds == pytest.approx(1.0 + LEAD + TAIL, abs=0.01)
    assert np.abs(made.samples).max() == pytest.approx(PEAK * 32767, rel=0.001)


def test_every_voice_is_equally_loud() -> None:
    wave = np.sin(np.arange(RATE) * 0.1)
    quiet, loud = (shaped(Sound((wave * level).astype(np.int16), RATE)) for level in (900, 30000))
    assert np.abs(quiet.samples).max() == pytest.approx(np.abs(loud.samples).max(), rel=0.01)


def test_silence_and_nothing_are_left_alone() -> None:
    for samples in (np.zeros(100, np.int16), np.zeros(0, np.int16)):
        assert len(shaped(Sound(samples, RATE)).samples) == len(samples)


@pytest.mark.parametrize("rate", [8_000, 16_000, 44_100, 48_000])
def test_at_another_rate_length_and_pitch_stay(rate: int) -> None:
    hertz = 440
    wave = np.sin(2 * np.pi * hertz * np.arange(RATE) / RATE) * 10000
    made = at_rate(Sound(wave.astype(np.int16), RATE), rate)
    assert len(made) == pytest.approx(rate, abs=2)
    spectrum = np.abs(np.fft.rfft(made))
    assert np.argmax(spectrum) * rate / len(made) == pytest.approx(hertz, abs=2)
