"""A room made of numbers: a loudspeaker, a microphone, walls, and somebody who speaks.

The walls' reflections come from the image sources of a box (Allen and Berkley, "Image method for
efficiently simulating small-room acoustics", Journal of the Acoustical Society of America 65,
1979); how much a wall takes away follows from the reverberation time by Eyring's formula. Small
loudspeakers lack the lows and distort; that no linear filter can take out.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from assistant.hearing.port import RATE

Floats = NDArray[np.float64]

BOX = np.array([4.2, 3.4, 2.5])
"""Metres: a living room."""

SOUND = 343.0
"""Metres a second."""


def response(reverberation: float, distance: float, seed: int, seconds: float = 0.45) -> Floats:
    """The way between two places `distance` metres apart; 60 dB die in `reverberation` seconds."""
    rng = np.random.default_rng(seed)
    surface = 2 * (BOX[0] * BOX[1] + BOX[0] * BOX[2] + BOX[1] * BOX[2])
    taken = min(0.99, 1 - np.exp(-0.161 * BOX.prod() / (reverberation * surface)))
    reflected = np.sqrt(1 - taken)
    ear = BOX * rng.uniform(0.3, 0.7, 3)
    towards = rng.normal(size=3)
    source = np.clip(ear + towards / np.linalg.norm(towards) * distance, 0.15, BOX - 0.15)
    out = np.zeros(round(seconds * RATE) + 2)
    reach = [int(np.ceil(seconds * SOUND / (2 * side))) + 1 for side in BOX]
    boxes = np.stack(
        np.meshgrid(*[np.arange(-n, n + 1) for n in reach], indexing="ij"), axis=-1
    ).reshape(-1, 3)
    for mirrored in np.ndindex(2, 2, 2):
        flip = np.array(mirrored)
        away = np.linalg.norm((1 - 2 * flip) * source + 2 * boxes * BOX - ear, axis=1)
        walls = np.abs(boxes - flip).sum(axis=1) + np.abs(boxes).sum(axis=1)
        strength = reflected**walls / np.maximum(away, 0.1)
        sample = away / SOUND * RATE
        near = sample < len(out) - 2
        whole = sample[near].astype(int)
        part = sample[near] - whole
        np.add.at(out, whole, strength[near] * (1 - part))
        np.add.at(out, whole + 1, strength[near] * part)
    return out[:-2]


def without_lead(way: Floats) -> Floats:
    """The same, from its first strong sound on."""
    loud = np.abs(way)
    return way[int(np.flatnonzero(loud > 0.1 * loud.max())[0]) :]


def small_loudspeaker(sound: Floats, distortion: float = 0.0) -> Floats:
    """Nothing below 180 and above 6500 Hz; a tone distorts by 1 % at 0.3, 3 % at 0.6."""
    hertz = np.fft.rfftfreq(len(sound), 1 / RATE)
    lows = (hertz / 180) ** 2 / np.sqrt(1 + (hertz / 180) ** 4)
    shaped = np.fft.irfft(np.fft.rfft(sound) * lows / np.sqrt(1 + (hertz / 6500) ** 8), len(sound))
    if distortion == 0:
        return shaped
    unit = np.abs(shaped).max() / distortion
    driven = shaped / unit
    return unit * (np.tanh(driven) + 0.05 * distortion * driven**2)


def through(sound: Floats, way: Floats) -> Floats:
    """The sound at the end of a way, as long as it was."""
    size = 1 << (len(sound) + len(way) - 1).bit_length()
    heard = np.fft.irfft(np.fft.rfft(sound, size) * np.fft.rfft(way, size), size)
    return heard[: len(sound)]


def active_level(sound: Floats) -> float:
    """Level in dBov (samples of 16 bits) while it sounds: frames within 30 dB of the loudest."""
    frames = sound[: len(sound) // 160 * 160].reshape(-1, 160)
    powers = np.mean(frames**2, axis=1)
    return float(10 * np.log10(powers[powers > powers.max() * 1e-3].mean() / 32768**2))


def at_level(sound: Floats, level: float, like: Floats | None = None) -> Floats:
    """The sound with `level` dBov while it sounds (`like`: the part of it that is measured)."""
    return sound * 10 ** ((level - active_level(sound if like is None else like)) / 20)


def hiss(count: int, level: float, seed: int) -> Floats:
    """White noise of a level in dBov."""
    return np.random.default_rng(seed).normal(size=count) * 10 ** (level / 20) * 32768


def cut(sound: Floats) -> Floats:
    """The sound without the silence around it."""
    loud = np.flatnonzero(np.abs(sound) > 0.03 * np.abs(sound).max())
    return sound[loud[0] : loud[-1] + 1]
