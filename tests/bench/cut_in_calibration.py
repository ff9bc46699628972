"""Fits what tells a speaker from what is left of an echo, and writes it down.

    python tests/bench/cut_in_calibration.py

Makes `assistant/hearing/near_end.toml` anew: a logistic regression (by Newton's method) of "the
athlete speaks" on how far each band stands out, over simulated rooms, with hiss and with recorded
kitchen noise, with and without an athlete. Prints what it used as one JSON line.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from assistant.hearing.echo import EchoCanceller
from assistant.hearing.near_end import BANDS
from assistant.hearing.port import BLOCK, RATE
from tests.bench import spoken_over
from tests.bench.spoken_over import FITTED, PLACES, Scene, cleaned, kitchen, lines_of, scene

OUT = Path(__file__).resolve().parents[2] / "assistant" / "hearing" / "near_end.toml"

SECONDS = 45.0
BACKGROUNDS = ((False, -70.0), (False, -58.0), (True, -55.0), (True, -47.0))
"""Kitchen noise or hiss, and its level."""

WEIGHT = 3.0
"""How much a block with an athlete counts beside one without."""

RIDGE = 3e-3
"""Keeps weights small where the material does not say much about them."""

SMOOTHING = 0.8

SPOKEN = (0.05, 0.24)
"""Seconds after an onset between which the athlete is to be noticed."""


def examples(made: Scene) -> tuple[list[NDArray[np.float64]], list[bool]]:
    own = EchoCanceller()
    features: list[NDArray[np.float64]] = []
    labels: list[bool] = []
    speaks = np.zeros(len(made.heard) // BLOCK, bool)
    noticed = np.zeros(len(speaks), bool)
    coach = np.zeros(len(speaks), bool)
    for begin, end in made.coach:
        coach[begin // BLOCK : (end + RATE // 3) // BLOCK] = True
    for begin, end, _ in made.athlete:
        speaks[begin // BLOCK : (end + RATE // 2) // BLOCK] = True
        first, last = (round(begin + s * RATE) // BLOCK for s in SPOKEN)
        noticed[first : last + 1] = True
    for number, block in enumerate(cleaned(made, own)):
        if not block.coach or not block.trusted or not coach[number]:
            continue
        if noticed[number] or not speaks[number]:
            features.append(own.near.shares.copy())
            labels.append(bool(noticed[number]))
    return features, labels


def fit(
    features: NDArray[np.float64], labels: NDArray[np.float64], counts: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Weights, the constant last."""
    scale = features.std(axis=0) + 1e-6
    table = np.column_stack([features / scale, np.ones(len(features))])
    weights = np.zeros(table.shape[1])
    ridge = RIDGE * np.eye(len(weights))
    ridge[-1, -1] = 0
    for _ in range(30):
        odds = 1 / (1 + np.exp(-table @ weights))
        slope = table.T @ (counts * (odds - labels)) / counts.sum() + ridge @ weights
        bend = (table * (counts * odds * (1 - odds))[:, None]).T @ table / counts.sum() + ridge
        weights -= np.linalg.solve(bend, slope)
    return np.append(weights[:-1] / scale, weights[-1])


def main() -> None:
    noise = kitchen()
    lines = lines_of(FITTED)
    features: list[NDArray[np.float64]] = []
    labels: list[bool] = []
    number = 0
    for seed in FITTED.seeds:
        for place in PLACES:
            is_kitchen, level = BACKGROUNDS[number % len(BACKGROUNDS)]
            voice = FITTED.coaches[number % len(FITTED.coaches)]
            for athletes, relative in (((), 0.0), (FITTED.athletes, 0.0), (FITTED.athletes, -6.0)):
                found = examples(
                    scene(
                        place,
                        lines,
                        voice,
                        seed * 100 + number,
                        seconds=SECONDS,
                        noise=noise if is_kitchen else None,
                        noise_level=level,
                        athletes=athletes,
                        relative=relative,
                    )
                )
                features += found[0]
                labels += found[1]
            number += 1
    known = np.array(labels, float)
    weights = fit(np.array(features), known, np.where(known > 0, WEIGHT, 1.0))
    OUT.write_text(
        "# How sure the sound left by the echo canceller makes it that somebody beside the coach\n"
        "# speaks. Made by tests/bench/cut_in_calibration.py; do not edit by hand.\n"
        f"smoothing = {SMOOTHING}\n"
        f"bias = {weights[-1]:.2f}\n"
        f"weights = {[round(float(w), 1) for w in weights[:-1]]}\n",
        encoding="utf-8",
    )
    print(
        json.dumps(
            {
                "bench": "cut_in_calibration",
                "examples": len(known),
                "with_athlete": int(known.sum()),
                "bands": BANDS,
                "athletes": FITTED.athletes,
                "coaches": FITTED.coaches,
            }
        )
    )
    spoken_over.close()


if __name__ == "__main__":
    main()
