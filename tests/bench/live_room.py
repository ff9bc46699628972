"""A simulated room that answers: the coach can be hushed, the athlete speaks when he wants.

Time goes on block by block. What the loudspeaker plays is told `AHEAD` before it is heard, as a
sound card's buffer has it, so an order to be silent takes that long and the fading to be heard.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from assistant.hearing.port import BLOCK, RATE, Samples
from assistant.speaking.mixer import FADE
from tests.bench.spoken_over import Place, background, coach_says
from tests.room.simulated_room import Floats, active_level, response, small_loudspeaker, through

AHEAD = 2 * BLOCK

NOISE = 600 * RATE
"""Samples of noise, whole blocks, that are heard again and again."""


class LiveRoom:
    """One room with its loudspeaker; `step` is 30 ms of it."""

    def __init__(
        self, place: Place, seed: int, noise: Floats | None = None, noise_level: float = -65.0
    ) -> None:
        self._place = place
        self._way = response(place.reverberation, place.distance, seed)
        self._rng = np.random.default_rng(seed)
        self._noise = background(NOISE, noise, noise_level, self._rng)
        self._factor: float | None = None
        self._line: tuple[Floats, Floats] = (np.zeros(0), np.zeros(0))
        self._place_in_line = 0
        self._echoes = np.zeros(BLOCK)
        self._speech = np.zeros(0)
        self._waiting: list[Floats] = []
        self.now = 0.0
        """Seconds: what is heard next begins here."""
        self.silent_from = 0.0
        """When the loudspeaker fell silent last, as heard."""

    @property
    def coach_speaks(self) -> bool:
        """Something is still to be heard of the line."""
        return self._place_in_line < len(self._line[0]) + AHEAD

    def say(self, text: str, voice: str) -> float:
        """Begin to play a line; gives the time at which it will be heard."""
        played = coach_says(text, voice)
        sounding = small_loudspeaker(played, self._place.distortion)
        if self._factor is None:
            heard = active_level(through(np.concatenate([sounding, np.zeros(RATE)]), self._way))
            self._factor = 10 ** ((self._place.coach - heard) / 20)
        self._line, self._place_in_line = (played, sounding), 0
        return self.now + AHEAD / RATE

    def hush(self) -> None:
        """Fade out what is being played, from what is mixed next on."""
        if self._place_in_line >= len(self._line[0]):
            return  # All of it is mixed already: what is still to be heard can not be called back.
        fade = round(FADE * RATE)
        end = min(self._place_in_line + fade, len(self._line[0]))
        ramp = np.linspace(1, 0, fade)[: end - self._place_in_line]
        played, sounding = (part[:end].copy() for part in self._line)
        for part in (played, sounding):
            part[self._place_in_line : end] *= ramp
        self._line = (played, sounding)

    def speak(self, sound: Floats) -> None:
        """The athlete says something from now on."""
        self._speech = sound

    def step(self) -> tuple[tuple[Samples, float], tuple[Samples, float]]:
        """The block that is being mixed with the time it will be heard, and the one heard now."""
        played, sounding = (
            _padded(part[self._place_in_line : self._place_in_line + BLOCK]) for part in self._line
        )
        if self._place_in_line < len(self._line[0]):
            self.silent_from = self.now + (AHEAD + BLOCK) / RATE
        self._place_in_line += BLOCK
        told = (played.astype(np.int16), self.now + AHEAD / RATE)
        self._waiting.append(sounding)
        echo = np.zeros(BLOCK)
        if len(self._waiting) > AHEAD // BLOCK:
            echo = self._echo_of(self._waiting.pop(0))
        near, self._speech = _padded(self._speech[:BLOCK]), self._speech[BLOCK:]
        at = round(self.now * RATE) % NOISE
        heard = echo + near + self._noise[at : at + BLOCK]
        block = np.clip(np.round(heard), -32768, 32767).astype(np.int16)
        result = (told, (block, self.now))
        self.now += BLOCK / RATE
        return result

    def _echo_of(self, sounding: Floats) -> Floats:
        size = BLOCK + len(self._way)
        if np.any(sounding):
            new = through(np.concatenate([sounding, np.zeros(len(self._way))]), self._way)
        else:
            new = np.zeros(size)
        old = np.concatenate([self._echoes, np.zeros(max(0, size - len(self._echoes)))])
        whole = new * (self._factor or 0.0) + old[:size]
        self._echoes = whole[BLOCK:]
        return whole[:BLOCK]


def _padded(sound: Floats) -> Floats:
    return np.concatenate([sound, np.zeros(BLOCK - len(sound))]) if len(sound) < BLOCK else sound
