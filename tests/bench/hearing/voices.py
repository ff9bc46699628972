"""Who speaks in the benchmarks of hearing, and their rendered sound, kept in a temporary folder.

Voices are split by speaker: what something was tuned with never reports. A variant of a voice
(speed, pitch, or a longer or shorter throat) belongs to the speaker it was made from.

Sources: flite's voices kal16 (diphones), awb, rms and slt (recorded speakers of CMU's ARCTIC
databases); the voice "heart" that comes in the wheel of hibari-tts (PyPI); three speakers of npm's
kokoro-js (`training/speakers.py`).
"""

from __future__ import annotations

import hashlib
import random
import subprocess
import tempfile
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import soxr

from assistant.hearing.port import RATE, Samples
from assistant.hearing.wave import read_wave

STORE = Path(tempfile.gettempdir()) / "cuewalk-bench-voices"

LEVEL = -26.0
"""Level of every rendered phrase while it sounds, in dBov: the usual level of speech material
(ITU-T P.56 names -26 dBov as nominal; from memory)."""

DYNAMIC = 30.0
"""A stretch of 10 ms sounds where it is no more than so many decibels below the loudest."""


@dataclass(frozen=True)
class Speaker:
    """`stretch` is the length of sounds (1 is the voice's own), `pitch` a mean in hertz where it
    is not the voice's own, `throat` how much shorter it is: it raises pitch and formants alike.
    `remade`: what is said is made another voice's, each phrase another's (`training/vocoder.py`).
    """

    voice: str
    stretch: float = 1.0
    pitch: int | None = None
    throat: float = 1.0
    remade: bool = False

    @property
    def name(self) -> str:
        marks = [self.voice]
        if self.stretch != 1.0:
            marks.append(f"x{self.stretch}")
        if self.pitch:
            marks.append(f"{self.pitch}Hz")
        if self.throat != 1.0:
            marks.append(f"throat{self.throat}")
        if self.remade:
            marks.append("remade")
        return "-".join(marks)


TUNED = (
    Speaker("kal16"), Speaker("awb"), Speaker("rms"),
    Speaker("rms", stretch=0.85), Speaker("awb", stretch=1.2), Speaker("rms", throat=1.15),
)  # fmt: skip
"""Voices with which anything may be tuned or calibrated."""

UNTAUGHT = (
    Speaker("bella"), Speaker("michael"), Speaker("emma"),
    Speaker("emma", stretch=0.85), Speaker("michael", stretch=1.2), Speaker("bella", throat=0.86),
)  # fmt: skip
"""Those of them that the network was not taught with either: what it makes of them is what it makes
of a stranger."""

REMADE = tuple(Speaker(voice, remade=True) for voice in ("bella", "michael", "emma"))
"""What a vocoder makes of the voices of strangers: fewer of their consonants are left."""

REPORTED = (
    Speaker("slt"), Speaker("heart"),
    Speaker("slt", stretch=0.8), Speaker("slt", stretch=1.3), Speaker("heart", stretch=0.8),
    Speaker("slt", pitch=230), Speaker("slt", throat=1.18), Speaker("heart", throat=0.86),
)  # fmt: skip
"""Voices that nothing was tuned with: plain, fast, slow, high, like a child's, like a man's."""


def spoken(text: str, speaker: Speaker) -> Samples:
    """The text at `RATE` and `LEVEL`, without silence round it; rendered once."""
    key = hashlib.sha256(f"{speaker.name} {text}".encode()).hexdigest()[:24]
    path = STORE / f"{key}.npy"
    if not path.exists():
        STORE.mkdir(parents=True, exist_ok=True)
        sound = levelled(_throated(_rendered(text, speaker), speaker.throat))
        if speaker.remade:
            sound = levelled(_remade(sound, f"{speaker.name} {text}"))
        with tempfile.NamedTemporaryFile(dir=STORE, suffix=".part", delete=False) as file:
            np.save(file, sound)
        Path(file.name).replace(path)
    kept: Samples = np.load(path)
    return kept


def loud_frames(sound: Samples) -> np.ndarray:
    """Which of the 10 ms of a clean sound belong to the speech."""
    frames = sound[: len(sound) // 160 * 160].reshape(-1, 160).astype(float)
    level = 10 * np.log10(np.mean(frames**2, axis=1) + 1e-3)
    loud: np.ndarray = level > level.max() - DYNAMIC
    return loud


def power(sound: Samples) -> float:
    """Mean square of a clean sound while it sounds."""
    frames = sound[: len(sound) // 160 * 160].reshape(-1, 160).astype(float)
    return float(np.mean(frames[loud_frames(sound)] ** 2))


def _rendered(text: str, speaker: Speaker) -> Samples:
    if speaker.voice == "heart":
        audio = _heart()(text, speed=1 / speaker.stretch, seed=0)
        return _whole(soxr.resample(audio, 24_000, RATE) * 20_000)
    if speaker.voice in {one.voice for one in UNTAUGHT}:
        from tests.bench.hearing.training import speakers as training

        style = next(name for name in training.UNTAUGHT if name.endswith(speaker.voice))
        said = training.styled(text, training.speakers()[style], 1 / speaker.stretch)
        return _whole(said * 20_000)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "said.wav"
        command = ["flite", "-voice", speaker.voice, "-t", text, "-o", str(path)]
        command += ["--setf", f"duration_stretch={speaker.stretch}"]
        if speaker.pitch:
            command += ["--setf", f"int_f0_target_mean={speaker.pitch}"]
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
        return read_wave(path)


@cache
def _heart() -> Any:
    from hibari import Hibari

    return Hibari()


def _throated(sound: Samples, throat: float) -> Samples:
    if throat == 1.0:
        return sound
    return _whole(soxr.resample(sound.astype(np.float32), RATE * throat, RATE))


def _remade(sound: Samples, by: str) -> Samples:
    from tests.bench.hearing.training.vocoder import revoiced

    made = revoiced(sound.astype(np.float32) / 32_768, random.Random(by))
    return _whole(made / np.abs(made).max() * 20_000)


def levelled(sound: Samples) -> Samples:
    """The same at `LEVEL`, without silence round it."""
    frames = np.flatnonzero(loud_frames(sound))
    trimmed = sound[max(0, frames[0] - 2) * 160 : (frames[-1] + 3) * 160]
    gain = 32_768 * 10 ** (LEVEL / 20) / np.sqrt(power(trimmed))
    return _whole(trimmed * gain)


def _whole(sound: np.ndarray) -> Samples:
    whole: Samples = np.clip(np.round(sound), -32_768, 32_767).astype(np.int16)
    return whole
