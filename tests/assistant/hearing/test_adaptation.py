"""A voice made to sound like a child's, by playing it faster, is taken for one; the voice is not.

Outside source: flite's voice rms, and resampling by soxr: pitch and formants rise alike, as they
do with a shorter throat.
"""

from collections.abc import Callable

import numpy as np
import pytest
import soxr

from assistant.errors import HearingError
from assistant.hearing.adaptation import BENDS, Adapted, adapt
from assistant.hearing.listener import transcribe
from assistant.hearing.pocketsphinx_engine import PocketsphinxRecogniser
from assistant.hearing.port import RATE, Samples
from tests.assistant.hearing.sounds import COMMANDS

Say = Callable[[str, str], Samples]
READING = (
    "my left foot goes first and the right one follows",
    "count to ten and breathe out with each step",
    "press the wall away with both hands and look down",
    "five six seven eight and rest for a minute",
)
SPOKEN = (
    *("next", "go back", "pause", "resume", "start over", "stop", "i am dizzy", "easier"),
    *("something else", "skip this one", "how much time is left", "effort seven"),
)


def faster(sound: Samples, times: float) -> Samples:
    shorter = soxr.resample(sound.astype(np.float32), RATE * times, RATE)
    return np.clip(shorter, -32_768, 32_767).astype(np.int16)


def test_a_short_throat_is_told_from_a_usual_one(say: Say) -> None:
    read = [(say(text, "rms"), text) for text in READING]
    assert abs(adapt(read).bend - 1.0) <= 0.06
    small = [(faster(sound, 1.18), text) for sound, text in read]
    assert adapt(small).bend >= 1.12


def test_too_little_is_told(say: Say) -> None:
    text = READING[0]
    with pytest.raises(HearingError, match="read it again"):
        adapt([(say(text, "rms"), text), (say(text, "rms"), "zzyzx " + text)])


def test_a_bend_lies_within_what_voices_have() -> None:
    with pytest.raises(ValueError, match="a bend lies between"):
        Adapted(BENDS[-1] + 0.1)


def test_an_adapted_engine_hears_a_small_throat_better(say: Say) -> None:
    """Plain, adapted and plain again: the library's bend is process-wide, ours must not be."""
    sounds = {text: faster(say(text, "slt"), 1.25) for text in SPOKEN}
    right = []
    for adapted in (Adapted(1.18), Adapted(), Adapted(1.18)):
        engine = PocketsphinxRecogniser(adapted=adapted)
        engine.listen_for(COMMANDS)
        heard = {text: transcribe(engine, sound) for text, sound in sounds.items()}
        right.append(sum([u.text for u in heard[t] if not u.rejected] == [t] for t in SPOKEN))
    assert right[0] == right[2] > right[1], right
