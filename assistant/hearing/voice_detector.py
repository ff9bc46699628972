"""Whether somebody speaks, frame by frame, in noise too: a small recurrent network.

It hears 32 bands of the spectrum (mel scale) of the last 25 ms and remembers what came before, so
it knows the noise of the room and the clatter in it from a voice. Two layers of gated recurrent
units (K. Cho and others, "Learning phrase representations using RNN encoder-decoder for statistical
machine translation", arXiv 1406.1078, 2014, in the form that torch has). Its weights come from
`tests/bench/hearing/training/voice.py`.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from importlib import resources
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from assistant.hearing.port import RATE, Samples

FRAME: Final = RATE // 100
"""Samples in one frame (10 ms)."""

WINDOW: Final = 400
"""Samples of which the spectrum is taken: those of the frame, and those before it."""

LONG: Final = 512
"""Samples of the transform."""

BANDS: Final = 32
LOWEST, HIGHEST = 60.0, 7_600.0
"""Hertz of the edges of the bands."""

MEAN, SPREAD = 16.0, 4.0
"""Of the logarithms of the bands' powers in speech at the usual level, about."""

LAYERS: Final = 2

Floats = NDArray[np.float32]


def mel(hertz: NDArray[Any]) -> NDArray[np.float64]:
    """Pitch as it is heard (S. S. Stevens and others, Journal of the Acoustical Society of America
    8, 1937, in the formula that D. O'Shaughnessy gives, "Speech communication", 1987).

    >>> mel(np.array([0.0, 1000.0])).round().tolist()
    [0.0, 1000.0]
    """
    out: NDArray[np.float64] = 2595 * np.log10(1 + hertz / 700)
    return out


@cache
def filters() -> Floats:
    """Bands x frequencies: each band rises to its middle and falls to the next one's."""
    lowest, highest = mel(np.array([LOWEST, HIGHEST]))
    edges = np.linspace(lowest, highest, BANDS + 2)
    at = mel(np.fft.rfftfreq(LONG, 1 / RATE))
    low, middle, high = (edges[i : i + BANDS, None] for i in range(3))
    rise, fall = (at - low) / (middle - low), (high - at) / (high - middle)
    out: Floats = np.maximum(0, np.minimum(rise, fall)).astype(np.float32)
    return out


def bands(windows: Floats) -> Floats:
    """What the network hears of windows (count x `WINDOW` samples of 16 bits): count x `BANDS`."""
    shaped = windows * np.hanning(WINDOW).astype(np.float32)
    spectrum = np.fft.rfft(shaped, LONG)
    power = (spectrum.real**2 + spectrum.imag**2).astype(np.float32)
    out: Floats = (np.log(power @ filters().T + 1.0) - MEAN) / SPREAD
    return out


class VoiceDetector:
    """Hears frames one after another; `weights` are those of the network, by name."""

    def __init__(self, weights: Mapping[str, Floats] | None = None) -> None:
        self._weights = _packaged() if weights is None else weights
        size = len(self._weights["out.weight"].T)
        self._states = [np.zeros(size, np.float32) for _ in range(LAYERS)]
        self._before = np.zeros(WINDOW - FRAME, np.float32)

    def hear(self, frame: Samples) -> float:
        """How likely it is, 0 to 1, that somebody speaks in this frame of `FRAME` samples."""
        window = np.concatenate([self._before, frame.astype(np.float32)])
        self._before = window[FRAME:]
        heard = bands(window[None])[0]
        for layer in range(LAYERS):
            heard = self._states[layer] = self._unit(layer, heard, self._states[layer])
        logit = self._weights["out.weight"][0] @ heard + self._weights["out.bias"][0]
        return float(_sigmoid(logit))

    def _unit(self, layer: int, heard: Floats, state: Floats) -> Floats:
        """The state of a layer behind what it hears."""
        given, kept = (
            self._weights[f"layers.weight_{kind}_l{layer}"] @ of
            + self._weights[f"layers.bias_{kind}_l{layer}"]
            for kind, of in (("ih", heard), ("hh", state))
        )
        size = len(state)
        gates = _sigmoid(given[: 2 * size] + kept[: 2 * size])
        new = np.tanh(given[2 * size :] + gates[:size] * kept[2 * size :])
        out: Floats = new + gates[size:] * (state - new)
        return out


def _sigmoid(x: Floats) -> Floats:
    out: Floats = 0.5 * (1 + np.tanh(0.5 * x))
    return out


@cache
def _packaged() -> Mapping[str, Floats]:
    with resources.files("assistant.hearing").joinpath("voice_detector.npz").open("rb") as file:
        return {name: value.astype(np.float32) for name, value in np.load(file).items()}
