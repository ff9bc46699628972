"""What a minute of reading tells of a voice: how long its throat is.

A voice with a short throat, a child's, has everything in it at higher frequencies than the voices
that the acoustic model was made from; the decoder can take that back by bending its frequency axis
(vocal tract length normalisation; L. Lee and R. Rose, "A frequency warping approach to speaker
normalization", IEEE Transactions on Speech and Audio Processing 6, 1998; from memory). The reading
is aligned with its known text under several bends; the best fit wins.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from assistant.errors import HearingError
from assistant.hearing.alignment import Aligner
from assistant.hearing.port import RATE, Samples

START_MEAN: Final = "42,-6.5,6,13,-3,-2,2.3,-4,-2.5,-2,4.8,1,1.5"
"""Mean of the cepstral features to begin with, between those that the decoder settled on for
flite's voices slt, rms and awb. It adapts from there; from the decoder's own start (40,3,-1) the
first words of a session were heard worse. The mean of a reading is no better start: sentences have
fewer pauses than commands."""

BENDS: Final = (0.88, 0.94, 1.0, 1.06, 1.12, 1.18)
"""Bends that are tried: above 1 for a throat that is shorter than the model's voices have."""

SHORTEST: Final = 10.0
"""Seconds of reading below which nothing is concluded from it."""

SILENCE: Final = np.zeros(RATE // 10, np.int16)
"""What is heard after each sentence."""

GAIN: Final = 0.02
"""By what share a bend must fit better than none to be believed."""


@dataclass(frozen=True)
class Adapted:
    """What is kept of a voice: the factor by which the frequency axis is bent.

    >>> float(Adapted(1.06).settings["warp_params"])
    1.06
    """

    bend: float = 1.0

    def __post_init__(self) -> None:
        if not BENDS[0] <= self.bend <= BENDS[-1]:
            raise ValueError(f"a bend lies between {BENDS[0]} and {BENDS[-1]}, not at {self.bend}")

    @property
    def settings(self) -> dict[str, str]:
        """The bend as settings of one decoder; ask anew for each.

        The library keeps bends process-wide: one that is written like the last is ignored, even
        where another decoder was made without a bend in between. So each is written differently.
        """
        return {"warp_params": f"{self.bend:.{next(_DIGITS)}f}"}


_DIGITS = itertools.cycle(range(3, 9))


def adapt(readings: Sequence[tuple[Samples, str]]) -> Adapted:
    """What readings tell of their speaker: pairs of a sound (16 kHz, mono, one sentence with a
    little silence round it) and its text in lower case.

    Words that the dictionary lacks make a sentence useless. Raises HearingError where less than
    ten seconds are of use.
    """
    plain = _fit(readings, 1.0)
    if plain is None:
        raise HearingError("Too little of the reading was understood; read it again, more slowly.")
    fits = {bend: fit for bend in BENDS if (fit := _fit(readings, bend)) is not None}
    best = max(fits, key=lambda bend: fits[bend])
    return Adapted(best if fits[best] - plain >= GAIN * abs(plain) else 1.0)


def _fit(readings: Sequence[tuple[Samples, str]], bend: float) -> float | None:
    """How well the sounds fit their texts, in units of the decoder per frame of speech."""
    aligner = Aligner({"loglevel": "FATAL", **Adapted(bend).settings})
    aligner.start_from(START_MEAN)
    # Heard twice, so that the first sentences are judged with the mean that belongs to the voice.
    for _ in range(2):
        fits = [aligner.fit(text, np.concatenate([sound, SILENCE])) for sound, text in readings]
    known = [fit for fit in fits if fit is not None]
    frames = sum(fit.frames for fit in known)
    if frames < SHORTEST * 100:
        return None
    return sum(fit.words for fit in known) / frames
