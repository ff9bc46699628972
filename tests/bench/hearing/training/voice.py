"""Teach the voice detector: `python -m tests.bench.hearing.training.voice`.

Makes assistant/hearing/voice_detector.npz. It hears sayings with pauses between them, between walls
and in noise, and learns where they sound. The voices, noises and rooms are those of the training of
the encoder; of other people only many at once are noise, as one alone is no other than the athlete.
Prints a JSON line: on streams that are not learnt from, the share of frames told rightly where
somebody speaks and where nobody does.

What ships was taught without the voices of the vocoder: with them, and 72 units, strangers were cut
less well.

Needs what the training of the encoder needs; about twenty minutes on two cores, voices not counted.
"""

from __future__ import annotations

import argparse
import json
import math
import sys
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path

import numpy as np
import soxr
import torch
from torch import Tensor, nn
from torch.nn import functional

from assistant.hearing.port import RATE
from assistant.hearing.voice_detector import BANDS, FRAME, LAYERS, WINDOW, bands
from tests.bench.hearing.training.ahead import made_ahead
from tests.bench.hearing.training.noises import between_walls, levelled, noises, walls
from tests.bench.hearing.training.sayings import commands, load_pieces, other
from tests.bench.hearing.training.speakers import all_spoken
from tests.bench.hearing.voices import LEVEL, loud_frames

SIZE = 56
STEPS = 1500
RATE_OF_LEARNING = 3e-3
TOGETHER = 24
LONG = 500
"""Frames of a stream."""

FIRST = 30
"""Frames of a stream in which it is not asked yet: it does not know the room."""

THROATS = (0.75, 1.3)
PAUSES = (0.15, 2.2)
RATIOS = (-3.0, 30.0)
"""Decibels of the sayings over the noise, in most streams."""

GAINS = (-18.0, 10.0)
WALLED, NOISY = 0.4, 0.85
HISS = (0.0, 2.0, 5.0, 10.0, 20.0)

CLOSED = 8
"""Frames without sound within speech: a closed mouth before "p" or "t" is part of the word."""

Sound = np.ndarray
INTO = Path(__file__).parents[4] / "assistant" / "hearing" / "voice_detector.npz"


class Network(nn.Module):
    def __init__(self) -> None:
        super().__init__()
        self.layers = nn.GRU(BANDS, SIZE, LAYERS, batch_first=True)
        self.out = nn.Linear(SIZE, 1)

    def forward(self, heard: Tensor) -> Tensor:
        """Batch x frames x bands: batch x frames, the logarithms of the odds."""
        logits: Tensor = self.out(self.layers(heard)[0])[..., 0]
        return logits


def sounding(sound: Sound) -> np.ndarray:
    """Which frames of a clean saying belong to it."""
    loud = loud_frames(np.round(sound * 32_768).astype(np.int16))
    at = np.flatnonzero(loud)
    for one, next_one in pairwise(at):
        if next_one - one <= CLOSED:
            loud[one:next_one] = True
    return loud


class Streams:
    def __init__(self, sayings: Sequence[Sound]) -> None:
        rng = np.random.default_rng(5)
        self._sayings = sayings
        crowds = [self._crowd(rng) for _ in range(60)]
        self._noises = noises(500, crowds, rng)
        self._walls = walls(150, rng)

    def _crowd(self, rng: np.random.Generator) -> Sound:
        out = np.zeros(6 * RATE)
        for _ in range(5):
            at, most = 0, len(out)
            while at < most:
                saying = self._sayings[rng.integers(len(self._sayings))][: most - at]
                out[at : at + len(saying)] += saying
                at += len(saying) + int(rng.integers(0, RATE // 2))
        return out

    def next(self, rng: np.random.Generator) -> tuple[Tensor, Tensor]:
        streams = [self._stream(rng) for _ in range(TOGETHER)]
        heard, told = (np.stack(part) for part in zip(*streams, strict=True))
        return torch.from_numpy(heard), torch.from_numpy(told)

    def _stream(self, rng: np.random.Generator) -> tuple[Sound, Sound]:
        length = LONG * FRAME
        speech, told = np.zeros(length, np.float32), np.zeros(LONG, np.float32)
        wall = self._walls[rng.integers(len(self._walls))] if rng.random() < WALLED else None
        at = round(rng.uniform(*PAUSES) * 100)
        throat = rng.uniform(*THROATS) if rng.random() < 0.6 else 1.0
        while at < LONG and rng.random() < 0.93:
            saying = self._sayings[rng.integers(len(self._sayings))]
            if throat != 1.0:
                saying = soxr.resample(saying, RATE * throat, RATE, quality="LQ")
            saying = saying * 10 ** (rng.uniform(-4, 4) / 20)
            loud = sounding(saying)[: LONG - at]
            told[at : at + len(loud)] = loud
            if wall is not None:
                saying = between_walls(saying, wall, RATE // 3)
            begin = at * FRAME
            saying = saying[: length - begin]
            speech[begin : begin + len(saying)] += saying
            at += len(loud) + round(rng.uniform(*PAUSES) * 100)
        if rng.random() < NOISY:
            noise = self._noise(rng, length)
            speech = speech + noise * 10 ** ((LEVEL - rng.uniform(*RATIOS)) / 20)
        mixed = 32_768 * 10 ** (rng.uniform(*GAINS) / 20) * speech
        mixed += rng.choice(HISS) * rng.normal(size=length)
        whole = np.clip(np.round(mixed), -32_768, 32_767).astype(np.float32)
        lead = np.concatenate([np.zeros(WINDOW - FRAME, np.float32), whole])
        windows = np.lib.stride_tricks.sliding_window_view(lead, WINDOW)[::FRAME]
        return bands(windows), told

    def _noise(self, rng: np.random.Generator, length: int) -> Sound:
        one = self._noises[rng.integers(len(self._noises))]
        one = np.roll(one, rng.integers(len(one)))[:length]
        if rng.random() < 0.25:
            one = levelled(one + self._noises[rng.integers(len(self._noises))][:length])
        if rng.random() < 0.15:
            # Noise that begins.
            one = one * (np.arange(length) > rng.integers(length))
        return one


def learn(network: Network, streams: Streams, steps: int) -> None:
    ahead = made_ahead(streams.next, 11)
    way = torch.optim.AdamW(network.parameters(), RATE_OF_LEARNING, weight_decay=1e-3)
    for step in range(steps):
        share = (step + 1) / 100 if step < 100 else 0.5 + 0.5 * math.cos(math.pi * step / steps)
        for group in way.param_groups:
            group["lr"] = RATE_OF_LEARNING * share
        heard, told = next(ahead)
        odds = network(heard)[:, FIRST:]
        loss = functional.binary_cross_entropy_with_logits(odds, told[:, FIRST:])
        loss.backward()
        torch.nn.utils.clip_grad_norm_(network.parameters(), 1.0)
        way.step()
        way.zero_grad()
        if step % 50 == 49:
            print(step + 1, round(float(loss.detach()), 4), file=sys.stderr, flush=True)


def shares(network: Network, streams: Streams) -> dict[str, float]:
    rng, right = np.random.default_rng(12), {True: [0, 0], False: [0, 0]}
    with torch.no_grad():
        for _ in range(12):
            heard, told = streams.next(rng)
            there, said = (network(heard) > 0)[:, FIRST:], told[:, FIRST:] > 0
            for kind, count in right.items():
                count[0] += int(((there == said) & (said == kind)).sum())
                count[1] += int((said == kind).sum())
    return {
        "speech": round(right[True][0] / right[True][1], 4),
        "none": round(right[False][0] / right[False][1], 4),
    }


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--steps", type=int, default=STEPS)
    parser.add_argument("--into", type=Path, default=INTO)
    parser.add_argument("--every", type=int, default=1, help="every Nth saying only, to try it out")
    options = parser.parse_args()
    torch.manual_seed(0)
    made = all_spoken(commands()[:: options.every], other(), load_pieces(), options.every)
    streams, network = Streams([one.sound for one in made]), Network()
    learn(network, streams, options.steps)
    weights = {name: of.detach().numpy() for name, of in network.state_dict().items()}
    np.savez(options.into, **{name: of.astype(np.float16) for name, of in weights.items()})
    line = {"steps": options.steps, "right": shares(network, streams)}
    line["bytes"] = options.into.stat().st_size
    print(json.dumps(line))


if __name__ == "__main__":
    main()
