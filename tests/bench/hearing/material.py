"""What is said in the benchmarks, where in a session, and in what sound.

Every phrase that recognisers listen for is said, each at a node of the session where it is in
scope, so that the grammars are those of a session. Noise is the recorded kitchen, or other noise
made here; its first half may be tuned with, its second half reports. `CUEWALK_HEARING_DATA` names
the folder of the recordings (`kitchen-noise.wav`, `unrelated/*.wav`).
"""

from __future__ import annotations

import os
import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

from assistant.coach import Coach
from assistant.files import builtin_catalogue
from assistant.hearing.port import RATE, Samples
from assistant.hearing.wave import read_wave
from assistant.session.nodes import Node
from assistant.session.scopes import scope_at
from intents.meaning import SAFETY_IDS, Meaning
from intents.sample import said_by
from intents.scope import Scope
from tests.bench.hearing.voices import Speaker, power, spoken

OFTEN = {Node.READY: 3, Node.WORK: 3, Node.REST: 3}
"""Nodes where a session spends most of its time, and how much more likely they are."""

SMALL_TALK = (
    *("where are you going", "what time is it", "thank you very much", "see you later"),
    *("good morning", "did you feed the cat", "dinner is nearly ready", "who was at the door"),
    *("i will call you back", "that looks great", "close the window please", "not in the house"),
    *("put the kettle on", "my phone is ringing", "are you hungry", "come over here"),
    *("the milk is in the fridge", "turn off the light", "it is raining outside", "happy birthday"),
    *("we need more bread", "have you seen my keys", "let the dog out", "what a lovely day"),
    *("he is late for school", "watch the baby", "i like that song", "ask your mother"),
    *("the bus is coming", "sounds good to me", "take out the trash", "leave me alone"),
    *("who won the game", "wash your hands", "are the shops open", "give it to your sister"),
    *("i paid the rent", "is anybody home", "how was your day", "look at the garden"),
)
"""Short everyday sentences, invented, none of them a command: short speech is the hardest to tell
from commands."""

BEFORE = 1.2
AFTER = 1.3
"""Seconds of room before and after a phrase."""

HISS = 10.0
"""Root mean square of a quiet room, of a full scale of 32768."""


@dataclass(frozen=True)
class Said:
    """A phrase in a scope by a speaker, and what it means there."""

    text: str
    scope: Scope
    speaker: Speaker
    wanted: tuple[Meaning, ...]
    safety: bool
    """Whether it is one of the safety phrases; answers to a question about pain are not."""


@cache
def coach() -> Coach:
    return Coach.of(builtin_catalogue(), "en")


def all_phrases(speakers: Sequence[Speaker], every: int = 1, seed: int = 0) -> list[Said]:
    """Every `every`-th template by each speaker, their slots filled as the seed has it.

    Of several speakers each begins at another template; variants of a voice say a third of what
    it says itself.
    """
    understander = coach().understander
    heard = [t for t in understander.phrases.templates if t.heard]
    out = []
    for turn, speaker in enumerate(speakers):
        chance = random.Random(f"{seed} {speaker.name}")
        plain = speaker == Speaker(speaker.voice, remade=speaker.remade)
        step = every if plain else 3 * every
        for template in heard[turn % step :: step]:
            nodes = [n for n in Node if template.heard_in(scope_at(n))]
            if not nodes:
                continue
            weights = [OFTEN.get(node, 1) for node in nodes]
            scope = scope_at(chance.choices(nodes, weights)[0])
            text = said_by(template, understander.phrases, understander.vocabulary, chance)
            wanted = understander.understand(text, scope).meanings
            safety = template.intent in SAFETY_IDS and template.bare is None
            out.append(Said(text, scope, speaker, wanted, safety))
    return out


def data() -> Path:
    beside = Path(__file__).resolve().parents[4] / "shared" / "hearing"
    return Path(os.environ.get("CUEWALK_HEARING_DATA", beside))


@cache
def noise(kind: str, reporting: bool) -> np.ndarray:
    """About a minute of noise, its mean square 1: `kitchen`, `pink`, or `babble` of people."""
    rng = np.random.default_rng(7 if reporting else 3)
    if kind == "kitchen":
        whole = read_wave(data() / "kitchen-noise.wav").astype(float)
        half = len(whole) // 2
        sound = whole[half:] if reporting else whole[:half]
    elif kind == "pink":
        spectrum = np.fft.rfft(rng.normal(size=60 * RATE))
        spectrum /= np.sqrt(np.maximum(np.arange(len(spectrum)), 60 * 60))
        sound = np.fft.irfft(spectrum)
    else:
        paths = other_speech(1 if reporting else 0)
        sound = np.zeros(60 * RATE)
        for _ in range(8):
            order = rng.permutation(len(paths))
            talk = np.concatenate([read_wave(paths[i]).astype(float) for i in order[:20]])
            sound += np.resize(talk / np.sqrt(np.mean(talk**2)), len(sound))
    return sound / np.sqrt(np.mean(sound**2))


def other_speech(half: int | None = None) -> list[Path]:
    """Recordings of people who talk of other things: all, or those of even or odd number."""
    paths = sorted((data() / "unrelated").glob("*.wav"))
    return paths if half is None else paths[half::2]


@dataclass(frozen=True)
class Room:
    """Noise of a kind so many decibels below the speech while it sounds; None is a quiet room."""

    kind: str | None = None
    ratio: float = 0.0
    reporting: bool = True

    def background(self, length: int, start: int) -> np.ndarray:
        """`length` samples from a stream that goes on from phrase to phrase."""
        rng = np.random.default_rng(start)
        if self.kind is None:
            return rng.normal(0.0, HISS, length)
        level = 32_768 * 10 ** ((-26.0 - self.ratio) / 20)
        sound = noise(self.kind, self.reporting)
        at = np.arange(start, start + length) % len(sound)
        return sound[at] * level + rng.normal(0.0, 1.0, length)


def in_room(said: Said, room: Room, start: int) -> tuple[Samples, float]:
    """The phrase in its room, and the second at which its last sound ends."""
    sound = spoken(said.text, said.speaker)
    assert abs(10 * np.log10(power(sound)) - (20 * np.log10(32_768) - 26.0)) < 3.0
    before, after = round(BEFORE * RATE), round(AFTER * RATE)
    mixed = room.background(before + len(sound) + after, start)
    mixed[before : before + len(sound)] += sound
    # Rendered sound has two quiet frames behind its last loud one.
    ends = BEFORE + len(sound) / RATE - 0.02
    return np.clip(np.round(mixed), -32_768, 32_767).astype(np.int16), ends


def small_talk(speakers: Sequence[Speaker]) -> list[Samples]:
    """Every sentence of small talk by each speaker, in a quiet room."""
    here, there = coach().understander, scope_at(Node.READY)
    said = [
        Said(text, there, speaker, here.understand(text, there).meanings, False)
        for speaker in speakers
        for text in SMALL_TALK
    ]
    return [in_room(one, Room(), 0)[0] for one in said]


def talk(paths: Iterable[Path], pause: float = 1.0) -> list[Samples]:
    """Recordings of other speech, each with a pause behind it."""
    rng = np.random.default_rng(1)
    out = []
    for path in paths:
        sound = np.concatenate([read_wave(path).astype(float), np.zeros(round(pause * RATE))])
        mixed = sound + rng.normal(0.0, HISS, len(sound))
        out.append(np.clip(np.round(mixed), -32_768, 32_767).astype(np.int16))
    return out
