"""The coach speaks in a simulated room, and an athlete over it: material for the benchmarks.

Lines are all that the coach can say, spoken by pyttsx3's voice or flite's; commands are spoken by
flite. Voices, lines, commands and rooms that something was fitted with are not those that it is
reported with: `FITTED` and `REPORTED` say which are whose.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from assistant.hearing.echo import Cleaned, EchoCanceller
from assistant.hearing.port import BLOCK, RATE, Samples
from assistant.hearing.wave import read_wave
from assistant.language import language_text
from assistant.speaking.pyttsx3_voice import Pyttsx3Voice
from assistant.speaking.shape import at_rate
from intents.lines import Line, Lines
from tests.room.simulated_room import (
    Floats,
    at_level,
    cut,
    hiss,
    response,
    small_loudspeaker,
    through,
    without_lead,
)

COMMANDS = (
    *("stop", "pause", "start", "next", "skip", "repeat", "easier", "harder", "done", "help"),
    *("that hurts", "i feel dizzy", "go back", "louder", "slower", "how long", "more rest"),
    *("what comes next", "safety", "quieter"),
)

PYTTSX3 = "pyttsx3"
RATE_OF_SPEECH = 165


@dataclass(frozen=True)
class Share:
    """Who speaks, which lines (every second one), and which rooms (seeds)."""

    athletes: tuple[str, ...]
    coaches: tuple[str, ...]
    lines: int
    seeds: tuple[int, ...]


FITTED = Share(("awb", "rms"), (PYTTSX3, "slt", "kal16"), 0, (1, 2, 3, 6))
REPORTED = Share(("slt", "kal16"), (PYTTSX3, "awb", "rms"), 1, (4, 5, 7))


@dataclass(frozen=True)
class Place:
    """A room with its loudspeaker: seconds, metres, distortion, level of the coach in dBov."""

    reverberation: float
    distance: float
    distortion: float
    coach: float


PLACES = (
    *(Place(0.2, 0.4, 0.0, -26), Place(0.2, 0.8, 0.3, -20), Place(0.4, 0.8, 0.0, -26)),
    *(Place(0.4, 1.2, 0.3, -26), Place(0.6, 1.2, 0.3, -26), Place(0.4, 0.6, 0.6, -20)),
    *(Place(0.3, 0.5, 0.0, -32), Place(0.6, 1.5, 0.6, -30)),
)

AHEAD = 3 * BLOCK
"""Samples by which a loudspeaker tells what it plays before it is heard."""

QUIET = -65.0
"""Level of the hiss of a quiet room, in dBov."""


@dataclass
class Scene:
    """What was played, what the microphone hears, and where whose speech lies (samples)."""

    played: Floats
    heard: Floats
    echo: Floats
    near: Floats
    coach: list[tuple[int, int]] = field(default_factory=list)
    athlete: list[tuple[int, int, str]] = field(default_factory=list)

    @property
    def seconds(self) -> float:
        """How long the coach speaks."""
        return sum(end - begin for begin, end in self.coach) / RATE


def kitchen() -> Floats:
    """Recorded kitchen noise, where somebody has put it; raises FileNotFoundError where not."""
    beside = Path(__file__).resolve().parents[3] / "shared" / "hearing"
    folder = Path(os.environ.get("CUEWALK_HEARING_DATA", beside))
    return read_wave(folder / "kitchen-noise.wav").astype(float)


@cache
def flite(text: str, voice: str) -> Floats:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "said.wav"
        command = ["flite", "-voice", voice, "-t", text, "-o", str(path)]
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
        return read_wave(path).astype(float)


@cache
def _pyttsx3() -> Pyttsx3Voice:
    return Pyttsx3Voice(None, "en")


@cache
def coach_says(text: str, voice: str) -> Floats:
    """A line as it is sent to the loudspeaker: a peak of 0.65 of full scale."""
    if voice == PYTTSX3:
        sound = at_rate(_pyttsx3().render(text, RATE_OF_SPEECH), RATE).astype(float)
    else:
        sound = flite(text, voice)
    return sound / np.abs(sound).max() * 0.65 * 32767


def close() -> None:
    """End the voice's process."""
    _pyttsx3().close()


def all_lines() -> list[str]:
    """Every line and reason there is, its slots filled with something likely."""
    lines = Lines.load(language_text("en", "lines"), language_text("en", "reasons"))
    likely = {"duration": 45, "count": 3, "word": "left", "all": ("pipe", "mat"), "any": ("pipe",)}
    out = []
    for line_id, variants in lines.lines.items():
        for turn, text in enumerate(variants):
            filled = {
                match[1]: likely.get(match[2] or "", "wall walk")
                for match in re.finditer(r"\{([a-z_]+)(?:\|([a-z]+))?", text)
            }
            out.append(lines.render(Line(line_id, filled, turn)))
    return out


def lines_of(share: Share) -> list[str]:
    return [line for number, line in enumerate(all_lines()) if number % 2 == share.lines]


def onset(sound: Floats) -> int:
    """The sample at which speech is first within 15 dB of its own mean level: what is called the
    onset here. Some voices begin with a tenth of a second of hardly anything."""
    frames = sound[: len(sound) // 240 * 240].reshape(-1, 240)
    powers = np.mean(frames**2, axis=1)
    mean = powers[powers > powers.max() * 1e-3].mean()
    return int(np.flatnonzero(powers > mean * 10**-1.5)[0]) * 240


def athlete_says(text: str, voice: str, level: float, seed: int) -> tuple[Floats, int]:
    """A command from somewhere in the room, and the sample of its onset."""
    dry = cut(flite(text, voice))
    way = without_lead(response(0.3, 1.2, seed))
    heard = through(np.concatenate([dry, np.zeros(RATE // 5)]), way)
    return at_level(heard, level), onset(dry)


def scene(
    place: Place,
    lines: list[str],
    voice: str,
    seed: int,
    *,
    seconds: float = 60.0,
    noise: Floats | None = None,
    noise_level: float = QUIET,
    athletes: tuple[str, ...] = (),
    relative: float = 0.0,
) -> Scene:
    """The coach says lines for so many seconds; athletes, if any, speak over most of them at a
    level relative to the coach's, once the canceller had five seconds to learn the room."""
    rng = np.random.default_rng(seed)
    parts = [np.zeros(RATE // 2)]
    spans: list[tuple[int, int]] = []
    count = len(parts[0])
    for number in _endless(len(lines), rng):
        said = coach_says(lines[number], voice)
        pause = np.zeros(round(rng.uniform(0.2, 1.2) * RATE))
        spans.append((count, count + len(said)))
        parts += [said, pause]
        count += len(said) + len(pause)
        if count > seconds * RATE:
            break
    played = np.concatenate(parts)
    played = np.round(played[: len(played) // BLOCK * BLOCK])
    way = response(place.reverberation, place.distance, seed)
    echo = through(small_loudspeaker(played, place.distortion), way)
    echo = at_level(echo, place.coach)
    near = np.zeros(len(played))
    spoken: list[tuple[int, int, str]] = []
    for begin, end in spans:
        if not athletes or begin < 5 * RATE or end - begin < RATE or rng.uniform() < 0.3:
            continue
        text = COMMANDS[rng.integers(len(COMMANDS))]
        voice_there = athletes[rng.integers(len(athletes))]
        said, first = athlete_says(text, voice_there, place.coach + relative, seed + 100)
        at = begin + round(rng.uniform(0.1, 0.7) * (end - begin))
        fits = min(len(said), len(near) - at)
        near[at : at + fits] += said[:fits]
        spoken.append((at + first, at + fits, text))
    heard = echo + near + background(len(played), noise, noise_level, rng)
    return Scene(played, np.clip(np.round(heard), -32768, 32767), echo, near, spans, spoken)


def background(count: int, noise: Floats | None, level: float, rng: np.random.Generator) -> Floats:
    """Recorded noise from anywhere on at a level in dBov, over a hiss; or the hiss alone."""
    if noise is None:
        return hiss(count, level, int(rng.integers(1 << 30)))
    begin = int(rng.integers(len(noise)))
    piece = np.take(noise, np.arange(begin, begin + count), mode="wrap")
    return piece * 10 ** (level / 20) * 32768 / np.sqrt(np.mean(piece**2))


def cleaned(scene: Scene, canceller: EchoCanceller | None = None) -> Iterator[Cleaned]:
    """The scene's blocks from a canceller that is told what is played a little ahead."""
    own = canceller or EchoCanceller()
    for begin in range(0, AHEAD, BLOCK):
        own.played(_samples(scene.played, begin), begin / RATE)
    for begin in range(0, len(scene.heard) - BLOCK + 1, BLOCK):
        if len(ahead := _samples(scene.played, begin + AHEAD)):
            own.played(ahead, (begin + AHEAD) / RATE)
        yield own.hear(_samples(scene.heard, begin), begin / RATE)


def _samples(sound: Floats, begin: int) -> Samples:
    return sound[begin : begin + BLOCK].astype(np.int16)


def _endless(count: int, rng: np.random.Generator) -> Iterator[int]:
    while True:
        yield from (int(number) for number in rng.permutation(count))
