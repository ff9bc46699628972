"""Rooms to train in: noise of many kinds, and walls.

Noise is the half of the recorded kitchen that may be tuned with, the samples of Debian's package
sonic-pi-samples (given to the public), other speech, and noise made here: coloured, humming, and
the clatter of things that ring.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
import soxr

from assistant.hearing.port import RATE
from tests.bench.hearing.material import noise as recorded
from tests.room.simulated_room import response, through, without_lead

SAMPLES = Path("/usr/share")
"""Where sonic-pi-samples lie, somewhere below."""

LONG = 5 * RATE
"""Samples of each noise."""

Sound = np.ndarray


def coloured(rng: np.random.Generator, length: int) -> Sound:
    """Noise with a slope, some bands that stand out, and in most cases a swell."""
    hertz = np.fft.rfftfreq(length, 1 / RATE) + 20
    shape = hertz ** rng.uniform(-1.2, 0.6)
    for _ in range(rng.integers(0, 4)):
        middle, width = np.exp(rng.uniform(np.log(80), np.log(7000))), rng.uniform(0.1, 0.8)
        shape *= 1 + rng.uniform(0, 6) * np.exp(-((np.log(hertz / middle) / width) ** 2))
    out = np.fft.irfft(np.fft.rfft(rng.normal(size=length)) * shape, length)
    if rng.random() < 0.6:
        points = rng.uniform(0.15, 1.0, rng.integers(2, 12))
        out *= np.interp(np.linspace(0, len(points) - 1, length), np.arange(len(points)), points)
    return out


def clatter(rng: np.random.Generator, length: int) -> Sound:
    """Blows, each with tones that die away."""
    out = np.zeros(length + RATE)
    for _ in range(rng.integers(2, 14)):
        at, lasts = rng.integers(0, length), int(RATE * rng.uniform(0.02, 0.5))
        time, blow = np.arange(lasts) / RATE, np.zeros(lasts)
        for _ in range(rng.integers(1, 9)):
            tone = 2 * np.pi * np.exp(rng.uniform(np.log(300), np.log(7500)))
            dies = np.exp(-time / rng.uniform(0.005, 0.15))
            blow += rng.uniform(0.1, 1) * np.sin(tone * time + rng.uniform(0, 6)) * dies
        click = np.exp(-time / rng.uniform(0.002, 0.05)) * rng.uniform(0, 2)
        blow += rng.normal(size=lasts) * click
        out[at : at + lasts] += blow * np.exp(rng.uniform(-2, 1.2))
    out = out[:length]
    return out + levelled(coloured(rng, length)) * np.sqrt(np.mean(out**2)) * rng.uniform(0, 0.4)


def humming(rng: np.random.Generator, length: int) -> Sound:
    base = rng.choice([50, 60, 100, 120, rng.uniform(60, 400)])
    time, out = np.arange(length) / RATE, np.zeros(length)
    for tone in range(1, rng.integers(3, 30)):
        loud = rng.uniform(0, 1) / tone ** rng.uniform(0.2, 1.5)
        out += loud * np.sin(2 * np.pi * base * tone * time + rng.uniform(0, 6))
    return out + levelled(coloured(rng, length)) / 3


def levelled(sound: Sound) -> Sound:
    """With a mean square of 1."""
    return sound / np.sqrt(np.mean(sound**2) + 1e-12)


def cut(rng: np.random.Generator, sound: Sound, length: int) -> Sound:
    """A part of this length from anywhere; of what is too short, several with pauses."""
    while len(sound) < length:
        sound = np.concatenate([sound, np.zeros(rng.integers(1, RATE // 2)), sound])
    begin = rng.integers(0, len(sound) - length + 1)
    return sound[begin : begin + length]


def all_samples() -> list[Sound]:
    """Raises SystemExit where Debian's package sonic-pi-samples is not installed."""
    import soundfile

    out = []
    for path in sorted(SAMPLES.glob("**/*.flac")):
        if "sonic-pi" in str(path):
            sound, rate = soundfile.read(path, always_2d=True)
            out.append(soxr.resample(sound.mean(axis=1), rate, RATE))
    if not out:
        raise SystemExit("samples of noise are not here: apt-get install sonic-pi-samples")
    return [sound for sound in out if len(sound) > RATE // 20]


def noises(count: int, talk: Sequence[Sound], rng: np.random.Generator) -> list[Sound]:
    """So many noises of 5 s, with a mean square of 1; `talk` is speech to be taken for other
    people's."""
    kitchen, samples = recorded("kitchen", reporting=False), all_samples()

    def in_kitchen(rng: np.random.Generator, length: int) -> Sound:
        out = cut(rng, kitchen, length)
        if rng.random() < 0.5:
            out = out + cut(rng, kitchen, length)[::-1] * rng.uniform(0, 1)
        return out

    def sample(rng: np.random.Generator, length: int) -> Sound:
        return cut(rng, samples[rng.integers(len(samples))], length)

    def people(rng: np.random.Generator, length: int) -> Sound:
        out = np.zeros(length)
        for _ in range(rng.choice([1, 1, 2, 4, 8])):
            out += cut(rng, talk[rng.integers(len(talk))], length) * rng.uniform(0.3, 1)
        return out

    kinds: list[Callable[[np.random.Generator, int], Sound]]
    kinds = [in_kitchen, sample, clatter, coloured, humming, people]
    shares = (0.4, 0.12, 0.13, 0.12, 0.05, 0.18)
    out = []
    for kind in rng.choice(len(kinds), count, p=shares):
        sound = levelled(kinds[kind](rng, LONG))
        if rng.random() < 0.15:
            sound = levelled(sound + levelled(coloured(rng, LONG)) * rng.uniform(0, 1))
        out.append(sound.astype(np.float32))
    return out


def between_walls(saying: Sound, way: Sound, behind: int) -> Sound:
    """The saying as it comes this way, as strong as it is itself, with so many samples behind it
    for what the walls give back."""
    heard = through(np.concatenate([saying, np.zeros(behind, np.float32)]), way)
    out: Sound = heard * np.sqrt(np.sum(saying**2) / (np.sum(heard**2) + 1e-12))
    return out


def walls(count: int, rng: np.random.Generator) -> list[Sound]:
    """Ways from a mouth to a microphone in a living room, 0.3 to 3.5 m."""
    return [
        without_lead(
            response(rng.uniform(0.12, 0.7), rng.uniform(0.3, 3.5), int(rng.integers(1 << 30)))
        )[: 3 * RATE // 8].astype(np.float32)
        for _ in range(count)
    ]
