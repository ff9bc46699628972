"""What people say: no voice that is made sounds like all of them.

Sources: the half of the recordings of other speech that may be tuned with, and the passages that
are read in the wheel of moonshine-voice. Nobody wrote down what is said; the packaged network does.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import torch

from assistant.hearing.moonshine_pieces import END, START
from assistant.hearing.port import RATE, Samples
from assistant.hearing.wave import read_wave
from tests.bench.hearing.material import other_speech
from tests.bench.hearing.training.network import decoder, encoder, folder
from tests.bench.hearing.training.speakers import Spoken
from tests.bench.hearing.voices import DYNAMIC, LEVEL

READ = ("two_cities", "endgame_nagg_nell", "beckett")
WEIGHT = 3.6
"""How often a part is taken, before others: a sixth of all that is learnt from."""

FRAME = RATE // 100
PAUSES = ((80, 30), (160, 10), (260, 5), (440, 3))
"""A part of up to so many frames ends at a pause of so many."""

SHORTEST, LONGEST = 30, 440
"""Frames of a part."""

SURE = -0.8
"""Mean logarithm of the likelihood of its pieces from which on a text is believed."""

MANY = 40
"""Pieces after which a text goes on for ever."""


def parts(sound: Samples) -> Iterator[Samples]:
    """What is said between pauses."""
    frames = sound[: len(sound) // FRAME * FRAME].reshape(-1, FRAME).astype(float)
    level = 10 * np.log10(np.mean(frames**2, axis=1) + 1e-3)
    loud = level > np.percentile(level, 97) - DYNAMIC + 6
    begin, pause = None, 0
    for at, sounds in enumerate([*loud, *[False] * PAUSES[0][1]]):
        if sounds:
            begin, pause = at if begin is None else begin, 0
        elif begin is not None:
            pause += 1
            enough = next((least for most, least in PAUSES if at - begin < most), 1)
            if pause >= enough:
                end = at - pause + 1
                if SHORTEST < end - begin < LONGEST:
                    yield sound[max(0, begin - 4) * FRAME : (end + 5) * FRAME]
                begin = None


def people() -> Iterator[Spoken]:
    listener, writer = encoder(), decoder()
    paths = [*other_speech(0), *(folder().parent / f"{name}.wav" for name in READ)]
    for part in (part for path in paths for part in parts(read_wave(path))):
        sound = part / 32_768
        sound = (sound * 10 ** (LEVEL / 20) / np.sqrt(np.mean(sound**2))).astype(np.float32)
        pieces, belief = [START], 0.0
        with torch.no_grad():
            heard = listener(torch.from_numpy(sound[None]))
            while pieces[-1] != END and len(pieces) < MANY:
                last = torch.zeros(1, len(pieces), dtype=torch.bool)
                last[0, -1] = True
                likely = writer(torch.tensor([pieces]), heard, last)[0].log_softmax(-1)
                pieces.append(int(likely.argmax()))
                belief += float(likely.max())
        if pieces[-1] == END and len(pieces) > 3 and belief / len(pieces) > SURE:
            yield Spoken(sound, tuple(pieces), WEIGHT)
