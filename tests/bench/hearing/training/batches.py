"""Sayings in rooms, many at a time: the same one clean, for the teacher, and as the room has it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import soxr
import torch
from torch import Tensor

from assistant.hearing.moonshine_pieces import END
from assistant.hearing.port import RATE
from tests.bench.hearing.training.noises import between_walls, levelled, noises, walls
from tests.bench.hearing.training.speakers import Spoken
from tests.bench.hearing.voices import LEVEL

TOGETHER = 32
"""Sayings in a batch, all of about one length: silence behind a sound changes what is heard."""

NEAR = 300
"""Places up and down in the order of lengths from where they may come."""

THROATS = (0.84, 1.2)
"""Half of the voices are made deeper or higher, and slower or faster with it."""

BEFORE = (0.05, 0.35)
"""Seconds before a saying as the endpointer cuts it; the rest is behind it."""

ROOM = (0.15, 0.6)
"""Seconds of a batch's sounds beside the longest saying."""

RATIOS = (-2.0, 22.0)
"""Decibels of a saying over the noise."""

GAINS = (-10.0, 8.0)
"""Decibels of the whole over the usual level."""

WALLED, NOISY, EMPTY = 0.45, 0.88, 0.06
"""Shares of sayings with walls, with noise, and of noise in which nothing is said at all: there the
teacher hears hiss, so that noise alone stays as it was."""

HISS = (3.0, 10.0, 10.0, 20.0)
"""Root mean squares of the microphone's own hiss, of 32,768."""


@dataclass(frozen=True)
class Batch:
    """`clean` and `heard`: batch x samples. `pieces`: batch x length, ends behind the end. `wanted`
    tells where there is a piece to be told from the one before it. `empty`: where nothing is said.
    """

    clean: Tensor
    heard: Tensor
    pieces: Tensor
    wanted: Tensor
    empty: Tensor


class Batches:
    def __init__(self, spoken: Sequence[Spoken]) -> None:
        rng = np.random.default_rng(2)
        self._spoken = sorted(spoken, key=lambda one: len(one.sound))
        self._weights = np.array([one.weight for one in self._spoken])
        self._noises = noises(700, [one.sound for one in self._spoken], rng)
        self._walls = walls(150, rng)
        self.used = sorted(
            {piece for one in self._spoken for piece in one.pieces} | set(range(2500))
        )
        """Every piece that comes, and the most frequent ones."""

    def next(self, rng: np.random.Generator) -> Batch:
        middle = int(rng.integers(len(self._spoken)))
        low, high = max(0, middle - NEAR), min(len(self._spoken), middle + NEAR)
        shares = self._weights[low:high] / self._weights[low:high].sum()
        chosen = low + rng.choice(high - low, TOGETHER, p=shares)
        sayings = [_other_throat(rng, self._spoken[at].sound) for at in chosen]
        length = max(map(len, sayings)) + round(RATE * rng.uniform(*ROOM))
        clean, heard = np.zeros((2, TOGETHER, length), np.float32)
        empty = rng.random(TOGETHER) < EMPTY
        for row, saying in enumerate(sayings):
            gain = 10 ** (rng.uniform(*GAINS) / 20)
            if not empty[row]:
                begin = _begin(rng, length - len(saying))
                clean[row, begin : begin + len(saying)] = gain * saying
                walled = self._walled(rng, saying, length - begin)
                heard[row, begin : begin + len(walled)] = gain * walled
            if rng.random() < NOISY:
                level = 10 ** ((LEVEL - rng.uniform(*RATIOS)) / 20)
                heard[row] += gain * level * self._noise(rng, length)
            hiss = rng.normal(size=(2, length)).astype(np.float32) / 32_768
            clean[row] += 10.0 * hiss[0]
            heard[row] += rng.choice(HISS) * hiss[1]
        rows = [self._spoken[at].pieces for at in chosen]
        longest = max(map(len, rows))
        pieces = np.full((TOGETHER, longest), END, np.int64)
        for at, row_pieces in enumerate(rows):
            pieces[at, : len(row_pieces)] = row_pieces
        wanted = np.arange(1, longest) < np.array([len(one) for one in rows])[:, None]
        return Batch(*map(torch.from_numpy, (clean, np.clip(heard, -1, 1), pieces, wanted, empty)))

    def _walled(self, rng: np.random.Generator, saying: np.ndarray, room: int) -> np.ndarray:
        if rng.random() >= WALLED:
            return saying
        way = self._walls[rng.integers(len(self._walls))]
        return between_walls(saying, way, room - len(saying))

    def _noise(self, rng: np.random.Generator, length: int) -> np.ndarray:
        def one() -> np.ndarray:
            whole = self._noises[rng.integers(len(self._noises))]
            begin = rng.integers(0, len(whole) - length + 1)
            part: np.ndarray = whole[begin : begin + length]
            return part if rng.random() < 0.5 else -part

        out = one()
        if rng.random() < 0.2:
            out = out + one() * rng.uniform(0.1, 1)
        # In the other cases what is loud in the noise may come before the saying or in it.
        return levelled(out) if rng.random() < 0.7 else out


def _other_throat(rng: np.random.Generator, sound: np.ndarray) -> np.ndarray:
    if rng.random() < 0.5:
        return sound
    return soxr.resample(sound, RATE * rng.uniform(*THROATS), RATE, quality="LQ")


def _begin(rng: np.random.Generator, room: int) -> int:
    if rng.random() < 0.7:
        return min(round(RATE * rng.uniform(*BEFORE)), room)
    return int(rng.integers(0, room + 1))
