"""The echo canceller: takes what the loudspeaker plays out of what the microphone hears.

What was played comes in with the times at which it is heard, from any thread; blocks of the
microphone come in with theirs. Both are laid on the session's time, the true delay between them is
found from the sounds themselves, and an adaptive filter learns the way through the room. Nothing
but the filter touches the sound: suppressing what is left as well makes echoes all but vanish, but
takes the words spoken over them along (`tests/bench/cut_in.py` has the comparison).

Where nothing was played lately, blocks pass untouched.

>>> canceller = EchoCanceller()
>>> block = np.full(480, 100, np.int16)
>>> cleaned = canceller.hear(block, at=1.0)
>>> cleaned.samples is block, round(cleaned.heard), cleaned.coach
(True, -50, False)
"""

from __future__ import annotations

import math
import threading
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from pocketsphinx import Vad

from assistant.hearing.echo_delay import AHEAD, HEARD, PLAYED, DelayFinder
from assistant.hearing.echo_filter import HOP, PARTITIONS, EchoFilter
from assistant.hearing.echo_trust import Trust
from assistant.hearing.levels import power_level
from assistant.hearing.near_end import NearEnd
from assistant.hearing.port import BLOCK, RATE, Samples
from assistant.hearing.skew import Skew
from assistant.hearing.track import Track

SPAN: Final = (PARTITIONS + 2) * HOP
"""Samples for which what was played can still be heard."""

TAIL: Final = round(0.3 * RATE)
"""Samples after that in which the room may still echo more than the filter reaches."""

LEAD: Final = 2
"""Hops by which the filter begins before the time told, since devices tell late times too."""

EARLY: Final = round(0.004 * RATE)
LATE: Final = round(0.060 * RATE)
"""Where within the filter the first sound of an echo may lie; elsewhere, the filter is moved."""

AIM: Final = round(0.022 * RATE)
"""Where it is moved to."""

LOOK: Final = RATE // 2
"""Samples of playing between two searches for the delay."""

KEPT: Final = 4.0
"""Seconds of either stream that are kept."""

HOPELESS: Final = 2.0
"""Seconds of audible echo without success after which the filter begins anew; twice as many the
next time, for there are loudspeakers that nothing can be learned of."""

REHEARSED: Final = 6 * RATE
"""Samples of playing, after a begin, in which what was heard is gone through again and again."""

AGAIN: Final = RATE // 2
"""Samples of playing between two times."""

REACH: Final = 2 * RATE // HOP * HOP
"""Samples that are gone through."""

STRICTNESS: Final = 2
"""Of the voice detector: 0 (lets much through) to 3."""


@dataclass(frozen=True)
class Cleaned:
    """A block without the echo, and what was measured over it.

    Levels are in dBov: 0 is the power of a full-scale square wave (ITU-T G.100.1). `odds` is the
    natural logarithm of the odds that somebody beside the coach speaks; it means nothing where
    `coach` is False, that is, where nothing the loudspeaker played can be heard, nor where
    `trusted` is False: the canceller has not learned the room, and what is left is the coach.
    """

    samples: Samples
    at: float
    heard: float
    """Level of what the microphone heard."""
    played: float
    """Level of what the loudspeaker played meanwhile."""
    echo: float
    """Level of the echo that was taken out."""
    left: float
    """Level of `samples`."""
    noise: float
    """Level of the room's noise, lately."""
    odds: float
    coach: bool
    trusted: bool


class EchoCanceller:
    """`played` may be called from any thread, `hear` from one."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._played = Track(KEPT)
        self._heard = Track(KEPT)
        self._skew = Skew(BLOCK / RATE)
        self._filter = EchoFilter()
        self.near = NearEnd()
        """What judges whether somebody else speaks; `Cleaned.odds` has its answer."""
        self._finder = DelayFinder()
        self._vad = Vad(STRICTNESS, RATE, BLOCK / RATE)
        self._hops = -LEAD
        """The delay of the filter's begin, in hops."""
        self._since_look = 0
        self._learned = 0
        """Samples of playing since the filter began."""
        self._trust = Trust()
        self._patience = HOPELESS
        self._before: NDArray[np.float32] = np.zeros((2, HOP), np.float32)
        """The last hop of what was left and of the echo."""

    @property
    def delay(self) -> float:
        """Seconds after the told time at which the filter begins to look for the echo."""
        return self._hops * HOP / RATE

    def played(self, samples: Samples, at: float) -> None:
        """What the loudspeaker plays; its first sample is heard at `at` seconds."""
        with self._lock:
            self._played.put(samples, at)

    def hear(self, block: Samples, at: float) -> Cleaned:
        """A block of `BLOCK` samples that the microphone heard from `at` seconds on, cleaned."""
        with self._lock:
            self._heard.put(block, at)
            assert self._heard.end is not None
            first = self._heard.end - BLOCK
            shift = self._skew.shift()
            self._wait_for_played(first + max(0, math.ceil(shift) + _REACH))
            begin = first - self._hops * HOP
            sounded = self._played.sounded
            if sounded < begin - SPAN - TAIL:
                return self._untouched(block, at)
            played = read_between(self._played, begin, BLOCK, shift)
            look = again = None
            if sounded > begin - SPAN:
                look, again = self._look(), self._again(begin + BLOCK, shift)
        heard = block.astype(np.float32) / np.float32(32768)
        rest, echo = self._cancel(played, heard)
        samples = np.clip(np.rint(rest * 32768), -32768, 32767).astype(np.int16)
        self._judge(rest, echo, samples)
        power, left, told = (mean_square(sound) for sound in (heard, rest, played))
        self._check(power, left, told)
        if again is not None:
            self._filter.rehearse(*again)
        if look is not None:
            delay = self._finder.hear(*look)
            if delay is not None:
                # What is read is shifted already by what the streams have drifted apart.
                self._place(delay + round(shift))
            if self._finder.fine is not None:
                self._skew.found(self._finder.fine, first)
        return Cleaned(
            samples,
            at,
            heard=power_level(power),
            played=power_level(told),
            echo=power_level(mean_square(echo)),
            left=power_level(left),
            noise=power_level(self.near.noise),
            odds=self.near.odds,
            coach=True,
            trusted=self._trust.given,
        )

    def _wait_for_played(self, first: int) -> None:
        """Begin the filter later where what is played is told so late that it is not there yet."""
        end = self._played.end
        if end is None or not (first - RATE < end and end - self._played.sounded < HOP):
            return
        missing = first - self._hops * HOP + BLOCK - end
        if missing > 0:
            hops = -(-missing // HOP)
            self._filter.move(-hops)
            self._hops += hops

    def _untouched(self, block: Samples, at: float) -> Cleaned:
        self._filter.rest()
        self._before[:] = 0
        heard = block.astype(np.float32) / np.float32(32768)
        self.near.idle(heard, self._vad.is_speech(block.tobytes()))
        level = power_level(mean_square(heard))
        silence = power_level(0.0)
        noise = power_level(self.near.noise)
        return Cleaned(
            block, at, level, silence, silence, level, noise, self.near.odds, False, True
        )

    def _cancel(
        self, played: NDArray[np.float32], heard: NDArray[np.float32]
    ) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
        parts = [
            self._filter.hear(played[hop : hop + HOP], heard[hop : hop + HOP])
            for hop in range(0, BLOCK, HOP)
        ]
        return np.concatenate([p[0] for p in parts]), np.concatenate([p[1] for p in parts])

    def _judge(
        self, rest: NDArray[np.float32], echo: NDArray[np.float32], samples: Samples
    ) -> None:
        voice = self._vad.is_speech(samples.tobytes())
        rests = np.concatenate([self._before[0], rest])
        echoes = np.concatenate([self._before[1], echo])
        for hop in range(0, BLOCK, HOP):
            self.near.hear(rests[hop : hop + 2 * HOP], echoes[hop : hop + 2 * HOP], voice)
        self._before = np.stack([rest[-HOP:], echo[-HOP:]])

    def _check(self, heard: float, left: float, played: float) -> None:
        """Begin anew where nothing is taken out for long: the room is another one."""
        self._trust.hear(heard, left, played, self.near.noise, BLOCK / RATE)
        if self._trust.hopeless_for > self._patience:
            self._trust.hopeless_for = 0.0
            self._patience *= 2
            self._begin_anew()

    def _begin_anew(self) -> None:
        self._filter.forget()
        self._learned = 0

    def _again(
        self, end: int, shift: float
    ) -> tuple[NDArray[np.float32], NDArray[np.float32]] | None:
        """The last seconds of both streams to learn from once more, at first every now and then."""
        self._learned += BLOCK
        if self._learned > REHEARSED or self._learned % AGAIN >= BLOCK:
            return None
        assert self._heard.end is not None
        heard = self._heard.read(self._heard.end - REACH, REACH) / np.float32(32768)
        return read_between(self._played, end - REACH, REACH, shift), heard

    def _look(self) -> tuple[NDArray[np.float32], NDArray[np.float32]] | None:
        """Stretches of both streams to find the delay in, every now and then."""
        self._since_look += BLOCK
        if self._since_look < LOOK:
            return None
        self._since_look = 0
        assert self._heard.end is not None
        first = self._heard.end - HEARD
        return self._played.read(first - AHEAD, PLAYED), self._heard.read(first, HEARD)

    def _place(self, delay: int) -> None:
        """Move the filter where the echo begins outside of its first part."""
        within = delay - self._hops * HOP
        if EARLY <= within <= LATE:
            return
        hops = round((delay - AIM) / HOP)
        self._filter.move(self._hops - hops)
        if not self._trust.given:
            self._begin_anew()
        self._hops = hops


def read_between(track: Track, first: int, count: int, shift: float) -> NDArray[np.float32]:
    """Samples from `first + shift` on, at full scale 1, where `shift` need not be whole."""
    whole = round(shift)
    part = shift - whole
    if abs(part) < 0.02:
        return track.read(first + whole, count) / np.float32(32768)
    sound = track.read(first + whole - _REACH, count + 2 * _REACH)
    places = np.arange(-_REACH, _REACH + 1) + part
    taps = np.sinc(places) * np.cos(np.pi * places / (2 * _REACH + 2)) ** 2
    between: NDArray[np.float32] = np.convolve(sound, taps, "valid").astype(np.float32)
    return between / np.float32(32768)


def mean_square(sound: NDArray[np.float32]) -> float:
    return float(np.dot(sound, sound)) / len(sound)


_REACH: Final = 8
"""Samples to either side from which one in between is made."""
