"""Sounds and a small grammar for the tests of hearing."""

import numpy as np

from assistant.hearing.port import RATE, Samples
from intents.grammar import Grammar

COMMANDS = Grammar(
    "commands",
    """#JSGF V1.0;
grammar commands;
public <said> = (next | go back | pause | resume | start | start over | stop | i am dizzy
 | something else | easier | skip this one | how much time is left | log <number> seconds
 | effort <number> | i do not have a <thing>) [please];
<number> = five | six | seven | eight | nine | ten | thirty [five | eight] | forty;
<thing> = bar | wall | pipe | box;
""",
    (
        *("next", "go back", "pause", "resume", "start", "start over", "stop", "i am dizzy"),
        *("something else", "easier", "skip this one", "how much time is left"),
        *(f"log {n} seconds" for n in ("five", "six", "seven", "eight", "nine", "ten", "thirty")),
        *("log thirty five seconds", "log thirty eight seconds", "log forty seconds"),
        *(f"effort {n}" for n in ("five", "six", "seven", "eight", "nine", "ten", "forty")),
        *(f"i do not have a {thing} please" for thing in ("bar", "wall", "pipe", "box")),
    ),
    frozenset(),
    frozenset({"please"}),
)


def hiss(seconds: float, seed: int = 0) -> Samples:
    """A quiet room: noise of about 20 of 90 decibels."""
    return np.random.default_rng(seed).normal(0, 10, round(seconds * RATE)).astype(np.int16)


def hum(seconds: float, level: float, seed: int = 0) -> Samples:
    """A fan or a street: pink noise (as strong in each octave) with this root mean square."""
    count = round(seconds * RATE)
    spectrum = np.fft.rfft(np.random.default_rng(seed).normal(size=count))
    # From 60 Hz on.
    spectrum /= np.sqrt(np.maximum(np.arange(len(spectrum)), 60 * seconds))
    sound = np.fft.irfft(spectrum, count)
    return np.round(level * sound / np.sqrt(np.mean(sound**2))).astype(np.int16)


def in_room(sound: Samples, before: float = 0.6, after: float = 0.9) -> Samples:
    """A sound in a quiet room, with time before and after it."""
    padded = np.concatenate([np.zeros(round(before * RATE)), sound, np.zeros(round(after * RATE))])
    return np.clip(padded + hiss(len(padded) / RATE)[: len(padded)], -32768, 32767).astype(np.int16)
