"""Does somebody beside the coach speak? Judged from what the echo canceller leaves.

Sound that is left counts, in each of twelve bands, by how far it stands above three things that
explain it without a speaker: what the canceller has lately left of an echo of that strength, the
noise of the room, and a hundredth of the coach's own loudness, which no command is weaker than.
The bands together, smoothed over 60 ms and weighted, give the logarithm of the odds. The weights
and the smoothing were fitted by `tests/bench/cut_in_calibration.py` and stand in `near_end.toml`.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from assistant.hearing.echo_filter import HOP
from assistant.hearing.port import RATE

EDGES: Final = (200, 350, 500, 700, 950, 1250, 1600, 2000, 2500, 3100, 3900, 5000, 6500)
"""Hertz between which the bands lie."""

BANDS: Final = len(EDGES) - 1

DYING: Final = 1.2
"""Decibels a hop by which an echo at most dies away in the room."""

LEARNING: Final = 0.03
"""Share of a hop's difference by which what is left of an echo is learned."""

STRIDE: Final = 6.0
"""Decibels of difference that count at most: a speaker must not pass for a bad echo."""

WORST: Final = 6.0
"""Decibels above the estimated echo that what is left of it may be learned to be."""

FAINT: Final = -20.0
"""Decibels below the coach's mean loudness that count as nothing."""

NOISE_UP: Final = 0.2
NOISE_DOWN: Final = 0.02
"""Decibels a hop by which the noise is taken to be louder or softer: it settles at the level that
nine of ten hops of the background stay below."""

ABOVE_NOISE: Final = 3.0
"""Decibels above the noise that still belong to it."""

FIRST: Final = 1.0
SPAN: Final = 14.0
"""Decibels from which on a band counts, and after which it does not count more."""

_TINY: Final = 1e-7

Power = NDArray[np.floating[Any]]


@dataclass(frozen=True)
class Calibration:
    """What was fitted: one weight for each band, what is added, and the share of the past."""

    weights: tuple[float, ...]
    bias: float
    smoothing: float


class NearEnd:
    """Hears hops of what is left and of the echo taken out; `odds` says how sure it is."""

    def __init__(self, calibration: Calibration | None = None) -> None:
        self._calibration = calibration or fitted()
        self._weights = np.array(self._calibration.weights)
        self._echo = np.full(BANDS, -70.0)
        self._left = np.zeros(BANDS)
        self._noise = np.full(BANDS, -30.0)
        self._coach = np.full(BANDS, 1e-6)
        self.shares = np.zeros(BANDS)
        """By how much of `SPAN` each band stands out, smoothed: what the weights are for."""
        self.odds = self._calibration.bias
        """Natural logarithm of the odds that somebody speaks near by, at the last hop."""

    def hear(self, rest: NDArray[np.float32], echo: NDArray[np.float32], voice: bool) -> None:
        """The last two hops of what is left and of the echo; `voice` says if it is like speech."""
        coach = band_powers(echo)
        power = band_powers(rest)
        level = _decibels(power)
        self._echo = np.maximum(_decibels(coach), self._echo - DYING)
        left = self._echo + self._left
        self._learn_coach(coach)
        floor = _power(left) + _power(self._noise + ABOVE_NOISE) + self._coach * 10 ** (FAINT / 10)
        above = (level - _decibels(floor) - FIRST) / SPAN if voice else np.zeros(BANDS)
        keep = self._calibration.smoothing
        self.shares = keep * self.shares + (1 - keep) * np.clip(above, 0.0, 1.0)
        self.odds = float(self._weights @ self.shares) + self._calibration.bias
        loud = left > self._noise + ABOVE_NOISE
        self._learn_left(level - left, loud)
        self._learn_noise(level, ~loud & (not voice))

    def idle(self, rest: NDArray[np.float32], voice: bool) -> None:
        """The last two hops while nothing is played: only the noise is learned."""
        level = _decibels(band_powers(rest))
        self._echo -= DYING * 2
        self.shares *= self._calibration.smoothing**2
        for _ in range(2):
            self._learn_noise(level, np.full(BANDS, not voice))

    @property
    def noise(self) -> float:
        """The power of the room's noise, as the mean square of samples at full scale 1."""
        # The sum over bins of a windowed spectrum, back to a mean square.
        return float(_power(self._noise).sum()) * 2 / _WINDOW_POWER / (2 * HOP)

    def _learn_coach(self, coach: Power) -> None:
        if coach.sum() > 0.05 * self._coach.sum():
            self._coach += 0.01 * np.minimum(coach - self._coach, 10 * self._coach + 1e-3)

    def _learn_left(self, beyond: Power, loud: NDArray[np.bool_]) -> None:
        step = LEARNING * np.clip(beyond, -STRIDE, STRIDE)
        self._left = np.minimum(np.where(loud, self._left + step, self._left), WORST)

    def _learn_noise(self, level: Power, may_rise: NDArray[np.bool_]) -> None:
        beyond = level - self._noise
        rise = np.where(may_rise, np.minimum(beyond, NOISE_UP), 0.0)
        self._noise += np.where(beyond < 0, np.maximum(beyond, -NOISE_DOWN), rise)


def band_powers(sound: NDArray[np.float32]) -> Power:
    """The power in each band of two hops of sound."""
    spectrum = np.fft.rfft(sound * _WINDOW)
    powers: Power = np.add.reduceat(spectrum.real**2 + spectrum.imag**2, _STARTS)[:-1]
    return powers


@cache
def fitted() -> Calibration:
    """The calibration that comes with the program."""
    text = resources.files("assistant.hearing").joinpath("near_end.toml").read_text("utf-8")
    table = tomllib.loads(text)
    return Calibration(tuple(table["weights"]), table["bias"], table["smoothing"])


def _decibels(power: Power) -> Power:
    decibels: Power = 10 * np.log10(power + _TINY)
    return decibels


def _power(decibels: Power) -> Power:
    power: Power = 10 ** (decibels / 10)
    return power


_WINDOW: Final = np.hanning(2 * HOP + 1)[:-1].astype(np.float32)
_WINDOW_POWER: Final = float(np.sum(_WINDOW**2))
_STARTS: Final = np.ceil(np.array(EDGES) * 2 * HOP / RATE).astype(int)
