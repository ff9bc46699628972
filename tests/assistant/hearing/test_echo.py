"""The echo canceller on rooms made of numbers: how much it takes out, drifting clocks, wrong times.

Rooms come from the image sources of a box, see tests/room/simulated_room.py; sounds are noise with
the rhythm of syllables, so that nothing but the canceller is tested.
"""

from __future__ import annotations

import numpy as np
import pytest
import soxr
from numpy.typing import NDArray

from assistant.hearing.echo import Cleaned, EchoCanceller
from assistant.hearing.port import BLOCK, RATE
from assistant.hearing.skew import Skew
from tests.room.simulated_room import response, through

Floats = NDArray[np.float64]

AHEAD = 2 * BLOCK
"""What is played is told so many samples before it is heard."""


def syllables(seconds: float, seed: int, level: float = 2000.0) -> Floats:
    """Noise, louder and softer four times a second, with a pause every other second."""
    rng = np.random.default_rng(seed)
    count = round(seconds * RATE)
    time = np.arange(count) / RATE
    loud = (0.5 - 0.5 * np.cos(2 * np.pi * 4 * time)) * ((time % 2.0) < 1.5)
    return level * loud * rng.normal(size=count)


def echo_of(played: Floats, seed: int = 1) -> Floats:
    """What a microphone 0.8 m away hears of it, 10 dB down."""
    way = response(0.3, 0.8, seed)
    return through(played, way / np.linalg.norm(way) * 0.3)[: len(played)]


def in_room(
    played: Floats, drift: float = 0.0, seed: int = 1, wander: float = 0.0
) -> list[Cleaned]:
    """What comes out; `drift` in millionths, `wander` in seconds of the microphone's told times."""
    echo = echo_of(played, seed)
    if drift:
        echo = soxr.resample(echo, RATE, RATE * (1 + drift * 1e-6), quality="VHQ")
    heard = echo + np.random.default_rng(seed).normal(0, 4, len(echo))
    canceller = EchoCanceller()
    out = []
    for begin in range(0, len(heard) - BLOCK + 1, BLOCK):
        ahead = played[begin + AHEAD - BLOCK : begin + AHEAD]
        canceller.played(ahead.astype(np.int16), (begin + AHEAD - BLOCK) / RATE)
        told = begin / RATE + wander * np.sin(begin / RATE / 3)
        out.append(canceller.hear(heard[begin : begin + BLOCK].astype(np.int16), told))
    return out


def taken_out(cleaned: list[Cleaned], after: float) -> float:
    """Decibels of the echo that were taken out after so many seconds."""
    heard, left = (
        sum(10 ** (value / 10) for value in values)
        for values in zip(*((c.heard, c.left) for c in cleaned if c.at > after), strict=True)
    )
    return float(10 * np.log10(heard / left))


def test_an_echo_is_taken_out_soon() -> None:
    cleaned = in_room(syllables(8, 1))
    assert taken_out(cleaned, 3.0) > 20


@pytest.mark.parametrize("drift", [-100.0, 60.0])
def test_clocks_that_drift(drift: float) -> None:
    """Crystals of consumer sound cards are within about 100 millionths (common practice, no
    published source)."""
    cleaned = in_room(syllables(30, 2), drift)
    assert taken_out(cleaned, 20.0) > 20


def test_times_that_wander_are_no_drift() -> None:
    cleaned = in_room(syllables(30, 3), wander=0.008)
    assert taken_out(cleaned, 5.0) > 20


def test_the_slope_is_told_from_delays_with_wrong_ones_among_them() -> None:
    skew = Skew(1.0)
    rng = np.random.default_rng(4)
    for second in range(30):
        wrong = 15.0 if second % 7 == 3 else 0.0
        skew.found(500 - 1.1 * second + rng.normal(0, 0.5) + wrong, second * RATE)
    assert skew.rate == pytest.approx(-1.1, abs=0.1)


def test_a_delay_far_off_begins_anew() -> None:
    skew = Skew(1.0)
    for second in range(30):
        skew.found(500 + 1.6 * second, second * RATE)
    assert skew.rate > 1
    skew.found(900, 30 * RATE)
    assert skew.rate == 0


def test_somebody_who_speaks_over_it_comes_through() -> None:
    played = syllables(10, 5)
    voice = np.zeros(len(played))
    voice[7 * RATE : 8 * RATE] = syllables(1, 6, 1500.0)
    echo = echo_of(played)
    canceller = EchoCanceller()
    odds, left = [], []
    for begin in range(0, len(played) - BLOCK + 1, BLOCK):
        ahead = played[begin + AHEAD - BLOCK : begin + AHEAD].astype(np.int16)
        canceller.played(ahead, (begin + AHEAD - BLOCK) / RATE)
        block = (echo + voice)[begin : begin + BLOCK].astype(np.int16)
        cleaned = canceller.hear(block, begin / RATE)
        odds.append(cleaned.odds)
        left.append(cleaned.samples)
    sound = np.concatenate(left).astype(float)[7 * RATE : 8 * RATE]
    assert float(np.corrcoef(sound, voice[7 * RATE : 8 * RATE])[0, 1]) > 0.9
    during = slice(round(7.1 * RATE / BLOCK), round(8.2 * RATE / BLOCK))
    assert max(odds[during]) > 4.0
    assert max(odds[round(4 * RATE / BLOCK) : round(7 * RATE / BLOCK)]) < 4.0
