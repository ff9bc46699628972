"""Voices made from others: a vocoder takes a sound apart and puts it together otherwise.

A few speakers teach little about others. Here each becomes several, of another pitch, with another
throat, another pace and another melody, and with the coarse spectrum that synthesis from parameters
has, whose changes are smooth too. Source of the vocoder: M. Morise and others, "WORLD: a
vocoder-based high-quality speech synthesis system for real-time applications", IEICE Transactions
E99-D, 2016, by PyPI's pyworld-prebuilt.
"""

from __future__ import annotations

import random
from typing import Any

import numpy as np

from assistant.hearing.port import RATE

Sound = np.ndarray

PITCHES = (95.0, 250.0)
"""Hertz of the means that are given: from a man's to a child's."""

THROATS = (0.87, 1.22)
"""How much higher the resonances become."""

MELODY = (0.4, 1.2)
"""How far pitch goes up and down, before its own way."""

PACES = (0.8, 1.25)

COARSE = (18, 40)
"""Numbers that tell a spectrum."""

STEP = 5.0
"""Milliseconds between spectra."""

SMOOTH = (1, 1, 5, 9, 13)
"""Spectra of which each becomes the mean, weighed towards its middle. The encoder that ships was
taught without."""


def revoiced(sound: Sound, chance: random.Random) -> Sound:
    """What is said at `RATE`, from -1 to 1, by another voice."""
    import pyworld

    voice: Any = pyworld
    given = sound.astype(np.float64)
    rough, times = voice.dio(given, RATE, frame_period=STEP)
    pitch = voice.stonemask(given, rough, times, RATE)
    spectra = voice.cheaptrick(given, pitch, times, RATE)
    breath = voice.d4c(given, pitch, times, RATE)
    if (sounds := pitch > 0).any():
        logs = np.log(pitch[sounds])
        mean = chance.uniform(*np.log(PITCHES))
        pitch[sounds] = np.exp(mean + chance.uniform(*MELODY) * (logs - logs.mean()))
    stretched = np.arange(spectra.shape[1]) / chance.uniform(*THROATS)
    spectra, breath = (_at(of, stretched) for of in (spectra, breath))
    coded = voice.code_spectral_envelope(spectra, RATE, chance.randint(*COARSE))
    coded = _smooth(coded, chance.choice(SMOOTH))
    spectra = voice.decode_spectral_envelope(coded, RATE, 2 * (spectra.shape[1] - 1))
    made = voice.synthesize(pitch, spectra, breath, RATE, STEP * chance.uniform(*PACES))
    return made.astype(np.float32)


def _smooth(rows: Sound, many: int) -> Sound:
    """Each row as the mean of so many round it."""
    shares = np.hanning(many + 2)[1:-1]
    whole = np.pad(rows, ((many // 2, many // 2), (0, 0)), "edge")
    windows = np.lib.stride_tricks.sliding_window_view(whole, many, axis=0)
    out: Sound = np.ascontiguousarray(windows @ (shares / shares.sum()))
    return out


def _at(rows: Sound, places: Sound) -> Sound:
    """Values of each row between its own."""
    low = np.minimum(places.astype(int), rows.shape[1] - 2)
    share = np.minimum(places - low, 1.0)
    out: Sound = np.ascontiguousarray((1 - share) * rows[:, low] + share * rows[:, low + 1])
    return out
