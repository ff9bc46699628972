"""Short sounds that say something without a word: our own, made here, not recorded.

Each has its own shape, so that they are told apart across a room and over breath: `heard` rises,
`not_understood` falls, `count` is one dry tick, `go` a long high tone, `half` two equal ones,
`end` three steps down. All start within milliseconds, so that the moment is clear, and none starts
or stops with a jump, so that nothing clicks.
"""

from __future__ import annotations

from functools import cache
from typing import get_args

import numpy as np
from numpy.typing import NDArray

from assistant.session.effects import Mark
from assistant.speaking.port import Sound

RATE = 48_000
"""Samples a second: what most sound cards run at, so that marks are seldom resampled."""

PEAK = 0.3
"""Peak as a share of full scale; speech at its own peak leaves room for that."""

ATTACK = 0.004
"""Seconds in which a tone swells."""

TICK_ATTACK = 0.001
"""The same for `count`, whose moment is the message: it can be measured to a millisecond."""

_OVERTONES = (1.0, 0.35, 0.12)
"""Shares of the first, second and third harmonic: warm, yet heard from a small loudspeaker."""


@cache
def earcon(mark: Mark) -> Sound:
    """The sound of a mark, whose moment is its first sample.

    >>> round(earcon("count").seconds, 2)
    0.08
    """
    made = {
        "heard": _row((660.0, 0.07), (880.0, 0.11)),
        "not_understood": _row((392.0, 0.12), (294.0, 0.2)),
        "count": _tone(1000.0, 0.08, TICK_ATTACK),
        "go": _tone(1320.0, 0.45, TICK_ATTACK),
        "half": _row((784.0, 0.12), (784.0, 0.2)),
        "end": _row((1047.0, 0.14), (784.0, 0.14), (523.0, 0.4)),
    }[mark]
    loudest = float(np.abs(made).max())
    return Sound(np.round(made * (PEAK * 32767 / loudest)).astype(np.int16), RATE)


MARKS: tuple[Mark, ...] = get_args(Mark)
"""All marks there are."""


def _tone(hertz: float, seconds: float, attack: float = ATTACK) -> NDArray[np.float64]:
    """A struck tone: a short swell, then a decay down to nothing."""
    time = np.arange(round(seconds * RATE)) / RATE
    harmonics = sum(
        share * np.sin(2 * np.pi * hertz * (number + 1) * time)
        for number, share in enumerate(_OVERTONES)
    )
    swell = np.minimum(1.0, time / attack)
    # The last factor brings the decay to exactly nothing at the end.
    decay = np.exp(-3.0 * time / seconds) * (1.0 - (time / seconds) ** 4)
    made: NDArray[np.float64] = harmonics * swell * decay
    return made


def _row(*tones: tuple[float, float]) -> NDArray[np.float64]:
    """Tones (hertz, seconds) one after another."""
    return np.concatenate([_tone(hertz, seconds) for hertz, seconds in tones])
