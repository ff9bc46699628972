"""Where speech begins and ends, for short commands.

A frame of 10 ms counts as sound where the voice detector hears a voice in it and it stands out of
the background noise. Loudness alone takes a dropped pan for a word, and in noise it does not find
its end.

The endpointer does not decide how long a silence ends an utterance: that depends on what was said
so far ("stop" is whole, "log thirty" is not). It reports the silence, and its user decides.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from pocketsphinx import Vad

from assistant.hearing.port import PREROLL, RATE, Samples
from assistant.hearing.voice_detector import FRAME, VoiceDetector

SUREST = 20
"""Frames in which it is surest of a voice, that tell whether it was one: what clatters is like a
voice for a moment, and hardly ever for a fifth of a second."""

STRICTNESS = 2
"""Of WebRTC's voice detector: 0 (lets much through) to 3."""


@dataclass(frozen=True)
class Tuning:
    """Times in seconds, levels in decibels."""

    onset: float = 0.10
    """A stretch of this length, most of it sound, begins an utterance."""
    onset_share: float = 0.6
    preroll: float = PREROLL
    """Sound kept from before the onset."""
    begins: float = 0.8
    goes_on: float = 0.85
    """How sure the voice detector must be of a voice, for an utterance to begin and to go on."""
    above_noise: float = 3.0
    """A frame is sound only this far above the background."""
    above_share: float = 0.45
    """During an utterance in a quiet room, a frame is sound only this share of the way up from the
    background to the loudest frame of the utterance: the rest is echo, and breath."""
    quiet: float = 30.0
    """So far the loudest frame is above the background where that holds: in noise the soft ends of
    words are nearer to it, and the detector alone decides."""
    lasting: int = 3
    """Of the last five frames so many have to be sound, or the sound has ended: single frames of
    noise do not keep an utterance going."""
    quietest: float = 28.0
    """Frames below this level (of a full scale of 90) are never sound."""


@dataclass(frozen=True)
class Step:
    """What one block brought.

    `sound` is what a decoder should hear now: empty outside speech, the pre-roll and the block at
    an onset. `began` is set on the block that begins an utterance, and is the time of the first
    sample of `sound`; `silence` is how long nothing has sounded, and `last_sound` when the last
    sound ended.
    """

    sound: Samples
    began: float | None
    silence: float
    last_sound: float


class Endpointer:
    """Hears blocks one after another; `rest` ends the utterance that is under way."""

    def __init__(self, tuning: Tuning | None = None) -> None:
        self.tuning = tuning or Tuning()
        self._flags: deque[bool] = deque(maxlen=round(self.tuning.onset * 100))
        self._latest: deque[bool] = deque(maxlen=5)
        self._loudest = 0.0
        self._noise = Noise()
        self._left: Samples = np.zeros(0, np.int16)
        kept = round((self.tuning.preroll + self.tuning.onset) * 100)
        self._kept: deque[tuple[Samples, float]] = deque(maxlen=kept)
        self._voices: list[float] = []
        self.speaking = False
        self._last_sound = 0.0

    @property
    def noise_level(self) -> float:
        """The background in decibels of a full scale of 90."""
        return self._noise.level

    @property
    def margin(self) -> float:
        """Decibels by which the loudest frame of the utterance stands out of the background."""
        return self._loudest - self._noise.level

    @property
    def voice(self) -> float:
        """How sure the detector was of a voice in the utterance, or in the last one, 0 to 1: the
        mean of its `SUREST` frames."""
        return float(np.mean(sorted(self._voices)[-SUREST:])) if self._voices else 0.0

    def hear(self, block: Samples, at: float) -> Step:
        """Hear a block of any length whose first sample sounded at `at` seconds."""
        start = at - len(self._left) / RATE
        sound = np.concatenate([self._left, block]) if len(self._left) else block
        whole = len(sound) - len(sound) % FRAME
        self._left = sound[whole:].copy()
        out: list[Samples] = []
        began: float | None = None
        time = start
        for index in range(0, whole, FRAME):
            frame = sound[index : index + FRAME]
            time = start + (index + FRAME) / RATE
            loud, sure = self._judge(frame)
            self._flags.append(loud)
            self._latest.append(loud)
            if loud and sum(self._latest) >= self.tuning.lasting:
                self._last_sound = time
            if self.speaking:
                out.append(frame)
                self._voices.append(sure)
                continue
            self._kept.append((frame, sure))
            if loud and sum(self._flags) >= self.tuning.onset_share * self._flags.maxlen:  # type: ignore[operator]
                self.speaking = True
                self._last_sound = time
                frames, voices = zip(*self._kept, strict=True)
                out.extend(frames)
                self._voices = list(voices)
                began = time - len(self._kept) * FRAME / RATE
                self._kept.clear()
        return Step(
            np.concatenate(out) if out else np.zeros(0, np.int16),
            began,
            max(0.0, time - self._last_sound),
            self._last_sound,
        )

    def rest(self) -> None:
        """The utterance is over: wait for the next onset."""
        self.speaking = False
        self._loudest = 0.0
        self._flags.clear()
        self._kept.clear()

    def _judge(self, frame: Samples) -> tuple[bool, float]:
        """Whether a frame is sound, and how sure it is that it is a voice."""
        level = decibels(frame)
        self._noise.hear(level, self.speaking)
        above = self.tuning.above_noise
        if self.speaking and self.margin >= self.tuning.quiet:
            above = max(above, self.tuning.above_share * self.margin)
        loud = level >= max(self.tuning.quietest, self._noise.level + above)
        sure = self._sure(frame, loud)
        if not loud or sure < (self.tuning.goes_on if self.speaking else self.tuning.begins):
            return False, sure
        self._loudest = max(self._loudest, level) if self.speaking else level
        return True, sure

    @cached_property
    def _detector(self) -> VoiceDetector:
        return VoiceDetector()

    def _sure(self, frame: Samples, loud: bool) -> float:
        """How sure it is of a voice, 0 to 1; asked every time, as it remembers what it heard."""
        return self._detector.hear(frame)


class LoudnessEndpointer(Endpointer):
    """With WebRTC's voice detector, as packed with PocketSphinx, and by loudness, for engines that
    have no network. In noise it finds the ends of words less well; but what is left of the coach's
    voice before a word is no sound to it, which decoders alone take for a word more."""

    def __init__(self) -> None:
        super().__init__(Tuning(preroll=0.20, above_noise=9.0, quiet=float("-inf")))
        self._vad = Vad(STRICTNESS, RATE, 0.01)

    def _sure(self, frame: Samples, loud: bool) -> float:
        return float(loud and self._vad.is_speech(frame.tobytes()))


class Noise:
    """The level of the background: falls at once to a quieter frame, rises slowly.

    Rises of 3 dB a second in silence and 0.5 dB a second during speech let it follow a kettle that
    begins to boil without taking a long sentence for background.
    """

    def __init__(self) -> None:
        self.level = 40.0
        self._recent: deque[float] = deque(maxlen=8)

    def hear(self, level: float, speaking: bool) -> None:
        self._recent.append(level)
        calm = sum(self._recent) / len(self._recent)
        if calm < self.level:
            self.level += (calm - self.level) * 0.2
        else:
            self.level += 0.005 if speaking else 0.03


def decibels(samples: Samples) -> float:
    """The level of samples, where a full-scale square wave has about 90.

    >>> round(decibels(np.full(160, 1000, np.int16)))
    60
    """
    power = float(np.mean(np.square(samples.astype(np.float32)))) if len(samples) else 0.0
    return 10 * float(np.log10(power + 1e-3))
