"""Reading aloud: a sentence is shown, and what is said until it is over is kept with it."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator
from importlib import resources
from typing import Any

import numpy as np

from assistant.hearing.endpoint import LoudnessEndpointer
from assistant.hearing.listener import TimedBlock
from assistant.hearing.port import Samples

OVER = 0.9
"""Seconds of silence that end a sentence: people breathe in the middle of one."""

PATIENCE = 8.0
"""Seconds in which a sentence must be begun, or it is passed over."""

LONGEST = 15.0
"""Seconds after which a sentence is over, whatever is heard."""


def sentences() -> tuple[str, ...]:
    """What is to be read, in lower case and without signs."""
    text = resources.files("assistant.hearing").joinpath("reading.toml").read_text("utf-8")
    read: dict[str, Any] = tomllib.loads(text)
    return tuple(read["sentences"])


def read_aloud(
    blocks: Iterator[TimedBlock], texts: tuple[str, ...], show: Callable[[int, str], None]
) -> list[tuple[Samples, str]]:
    """The sound of each text that was read. `show` is called with its number and the text when it
    is its turn; the blocks may end early, as where the microphone is gone."""
    read = []
    for number, text in enumerate(texts, 1):
        show(number, text)
        sound = one_sentence(blocks)
        if sound is not None:
            read.append((sound, text))
    return read


def one_sentence(blocks: Iterator[TimedBlock]) -> Samples | None:
    """What is said until a silence, from a little before it began; None where nothing is."""
    endpointer = LoudnessEndpointer()
    kept: list[Samples] = []
    first: float | None = None
    for block, at in blocks:
        first = at if first is None else first
        step = endpointer.hear(block, at)
        if len(step.sound):
            kept.append(step.sound)
        waited = at - first
        if kept and (step.silence >= OVER or waited >= LONGEST):
            break
        if not kept and waited >= PATIENCE:
            return None
    return np.concatenate(kept) if kept else None
