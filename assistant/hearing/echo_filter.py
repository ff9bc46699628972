"""The adaptive filter of the echo canceller: learns the way from loudspeaker to microphone.

The way is a response of `PARTITIONS` pieces of `HOP` samples, each kept as a spectrum. Every piece
has, at every frequency, an uncertainty; the step of learning follows from it and from how loud the
rest of the sound is. So the filter learns fast at first, and hardly at all while somebody speaks
over the loudspeaker, without a switch that would have to know that. This is the partitioned-block
frequency-domain Kalman filter of Kuech, Mabande and Enzner, "State-space architecture of the
partitioned-block-based acoustic echo controller" (ICASSP 2014).

>>> rng = np.random.default_rng(1)
>>> played = rng.normal(size=HOP * 200).astype(np.float32) * 0.1
>>> heard = np.concatenate([np.zeros(100), played * 0.5])[: len(played)].astype(np.float32)
>>> own = EchoFilter()
>>> for n in range(0, len(played), HOP):
...     rest, echo = own.hear(played[n : n + HOP], heard[n : n + HOP])
>>> float(np.mean(rest**2)) < 1e-3 * float(np.mean(echo**2))
True
"""

from __future__ import annotations

from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

HOP: Final = 240
"""Samples that are filtered at once (15 ms): half a block."""

PARTITIONS: Final = 20
"""Pieces of the response: 300 ms of room."""

KEEPING: Final = 0.999
"""How much of what was learned is still true a hop later: doors open, people walk."""

SMOOTHING: Final = 0.7
"""Share of the past in the level of what is no echo."""

DECAY: Final = 0.5
"""By how much, in the exponent, a response is expected to be weaker 30 ms later."""

UNKNOWN: Final = 0.15
"""Power of the response expected at its begin, before anything was heard: an echo that is a
little quieter than what was played. Too much, and the filter first makes things worse."""

_TINY: Final = 1e-9
"""Power of a hop that is as good as silence."""

Spectra = NDArray[np.complexfloating[Any, Any]]
Power = NDArray[np.floating[Any]]
Sound = NDArray[np.float32]


class EchoFilter:
    """Hops of what was played and what was heard go in; what is left, and the echo, come out.

    Samples are floats, 1 being full scale. One thread at a time uses it.
    """

    def __init__(self, partitions: int = PARTITIONS) -> None:
        shape = (partitions, HOP + 1)
        self._played: Spectra = np.zeros(shape, np.complex64)
        self._power: Power = np.zeros(shape, np.float32)
        self._way: Spectra = np.zeros(shape, np.complex64)
        fade = np.exp(-DECAY * np.arange(partitions) * HOP / 480)[:, None]
        self._unknown: Power = (UNKNOWN * fade * np.ones(shape)).astype(np.float32)
        self._doubt: Power = self._unknown.copy()
        self._other: Power = np.zeros(HOP + 1, np.float32)
        self._last: Sound = np.zeros(HOP, np.float32)
        self._idle = True

    def hear(self, played: Sound, heard: Sound) -> tuple[Sound, Sound]:
        """What is left of `heard` without the echo of what was played up to now, and that echo."""
        self._idle = False
        self._take(played)
        way = np.einsum("pf,pf->f", self._way, self._played)
        echo = np.fft.irfft(way)[HOP:].astype(np.float32)
        rest = heard - echo
        self._learn(rest)
        return rest, echo

    def rehearse(self, played: Sound, heard: Sound) -> None:
        """Go once more through the last seconds, which end now, to learn them better.

        What is learned twice is not known better than what is heard twice: the doubt stays.
        """
        doubt = self._doubt.copy()
        for hop in range(0, len(played), HOP):
            self.hear(played[hop : hop + HOP], heard[hop : hop + HOP])
        np.maximum(self._doubt, doubt, out=self._doubt)

    def rest(self) -> None:
        """Nothing is played, nor does anything echo still."""
        if not self._idle:
            self._played.fill(0)
            self._power.fill(0)
            self._last.fill(0)
            self._idle = True

    def move(self, hops: int) -> None:
        """What is played will from now on be told `hops` hops earlier (later, where negative)."""
        for kept, new in ((self._way, np.zeros_like(self._way)), (self._doubt, self._unknown)):
            moved = np.roll(kept, hops, axis=0)
            if hops >= 0:
                moved[:hops] = new[:hops]
            else:
                moved[hops:] = new[hops:]
            kept[:] = moved
        self._played.fill(0)
        self._power.fill(0)
        self._last.fill(0)

    def forget(self) -> None:
        """Begin to learn anew."""
        self._way.fill(0)
        self._doubt[:] = self._unknown

    def _take(self, played: Sound) -> None:
        self._played[1:] = self._played[:-1]
        self._power[1:] = self._power[:-1]
        newest = np.fft.rfft(np.concatenate([self._last, played])).astype(np.complex64)
        self._played[0] = newest
        self._power[0] = newest.real**2 + newest.imag**2
        self._last = played

    def _learn(self, rest: Sound) -> None:
        spectrum = np.fft.rfft(np.concatenate([np.zeros(HOP, np.float32), rest]))
        spectrum = spectrum.astype(np.complex64)
        power = spectrum.real**2 + spectrum.imag**2
        self._other += (1 - SMOOTHING) * (power - self._other)
        # Half of a spectrum's power belongs to the zeros that fill up the hop.
        doubt = 0.5 * np.einsum("pf,pf->f", self._power, self._doubt)
        gain = self._doubt / (doubt + self._other + _TINY)
        step = np.fft.irfft(gain * self._played.conj() * spectrum, axis=1)
        # A piece of the response is as long as a hop: what wraps round is no part of it.
        step[:, HOP:] = 0
        self._way += np.fft.rfft(step, axis=1)
        kept = np.float32(KEEPING**2)
        self._doubt *= kept * (1 - 0.5 * gain * self._power)
        strength = self._way.real**2 + self._way.imag**2
        self._doubt += (1 - kept) * (strength + _TINY)
