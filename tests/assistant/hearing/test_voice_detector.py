"""The network that tells voices: its arithmetic against torch, and what it hears in noise."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from pocketsphinx import Vad

from assistant.hearing.port import RATE, Samples
from assistant.hearing.voice_detector import BANDS, FRAME, VoiceDetector, filters, mel
from assistant.hearing.wave import read_wave


def waves(*shape: int) -> np.ndarray:
    """Numbers that look like no pattern to a network, the same everywhere."""
    return np.sin(1.7 * np.arange(1, np.prod(shape) + 1) ** 1.1).reshape(shape).astype(np.float32)


def small_network() -> dict[str, np.ndarray]:
    made = {"out.weight": waves(1, 5), "out.bias": waves(1)}
    for layer, wide in enumerate((BANDS, 5)):
        made |= {
            f"layers.weight_ih_l{layer}": 0.4 * waves(15, wide),
            f"layers.weight_hh_l{layer}": 0.9 * waves(15, 5),
            f"layers.bias_ih_l{layer}": 0.3 * waves(15),
            f"layers.bias_hh_l{layer}": -0.5 * waves(15),
        }
    return made


def test_the_arithmetic_is_that_of_torch() -> None:
    """torch.nn.GRU (two layers) and torch.nn.Linear of torch 2.13.0, with these weights, over the
    same bands."""
    sound = np.round(3000 * waves(6 * FRAME)).astype(np.int16)
    detector = VoiceDetector(small_network())
    told = [detector.hear(frame) for frame in sound.reshape(-1, FRAME)]
    assert told == pytest.approx(EXPECTED, abs=1e-5)


EXPECTED = (0.706572, 0.685306, 0.673788, 0.672376, 0.695767, 0.716140)


def test_mel_is_the_published_scale() -> None:
    """1000 hertz are 1000 mel by definition; the others are by O'Shaughnessy's formula with the
    natural logarithm, 1127 ln(1 + f / 700)."""
    assert mel(np.array([1000.0])) == pytest.approx([1000], abs=0.1)
    hertz = np.array([100.0, 440, 4000])
    assert mel(hertz) == pytest.approx(1127 * np.log(1 + hertz / 700), rel=1e-4)


def test_bands_overlap_so_that_no_tone_between_them_is_lost() -> None:
    inner = filters()[:, 8:-40]
    assert filters().shape == (BANDS, 257)
    assert inner.sum(0) == pytest.approx(1.0, abs=1e-5)


def voiced(sound: Samples) -> np.ndarray:
    detector = VoiceDetector()
    frames = sound[: len(sound) // FRAME * FRAME].reshape(-1, FRAME)
    return np.array([detector.hear(frame) for frame in frames]) >= 0.8


def by_webrtc(sound: Samples) -> np.ndarray:
    vad = Vad(2, RATE, 0.01)
    frames = sound[: len(sound) // FRAME * FRAME].reshape(-1, FRAME)
    return np.array([vad.is_speech(frame.tobytes()) for frame in frames])


def test_a_word_is_voice_and_the_room_is_none(say: Callable[[str, str], Samples]) -> None:
    sound = say("pause", "slt")
    told = voiced(sound)
    loud = np.abs(sound[: len(told) * FRAME].reshape(-1, FRAME).astype(int)).max(1) > 500
    assert told[loud].mean() > 0.85
    first, last = np.flatnonzero(loud)[[0, -1]]
    assert not told[: first - 3].any()
    assert not told[last + 8 :].any()


def test_clatter_is_no_voice_where_webrtc_takes_it_for_one(recordings: Path) -> None:
    """The half of the recorded kitchen that nothing was taught with."""
    whole = read_wave(recordings / "kitchen-noise.wav")
    kitchen = whole[len(whole) // 2 :]
    assert voiced(kitchen).mean() < 0.08
    assert by_webrtc(kitchen).mean() > 0.3


def test_people_are_heard_in_a_kitchen(recordings: Path) -> None:
    """People who order drinks, none of whom it was taught with, 9 dB over kitchen noise."""
    whole = read_wave(recordings / "kitchen-noise.wav").astype(float)
    kitchen = whole[len(whole) // 2 :] / np.sqrt(np.mean(whole[len(whole) // 2 :] ** 2))
    shares = []
    for path in sorted((recordings / "unrelated").glob("*.wav"))[1:40:4]:
        said = read_wave(path).astype(float)
        frames = said[: len(said) // FRAME * FRAME].reshape(-1, FRAME)
        power = np.mean(frames**2, 1)
        loud = power > 0.1 * np.percentile(power, 95)
        level = np.sqrt(np.mean(power[loud]))
        noisy = said + kitchen[: len(said)] * level / 10 ** (9 / 20)
        scale = min(1.0, 32_000 / np.abs(noisy).max())
        told = voiced(np.round(scale * noisy).astype(np.int16))
        shares.append(told[loud].mean())
    assert np.mean(shares) > 0.85
