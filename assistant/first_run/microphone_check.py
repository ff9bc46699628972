"""Is the athlete heard? A few seconds of the microphone, judged by loudness and by words."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from assistant.coach import Coach
from assistant.errors import HearingError
from assistant.hearing.listener import transcribe
from assistant.hearing.port import Recogniser, Samples
from assistant.hearing.portaudio import portaudio
from assistant.session.nodes import Node
from assistant.session.scopes import scope_at
from intents.lines import Line

SECONDS = 5

QUIET = -50.0
"""Decibels under full scale of the loudest 30 ms below which nobody has spoken, or the microphone
is off (judgement: speech at arm's length is about 30 louder)."""

CLIPPED = 32_700
"""A sample this large is at the end of its scale."""

MANY = 0.001
"""Share of samples at the end of the scale from which speech is spoilt (judgement)."""


def has_microphone() -> bool:
    """Whether the system has a microphone of its own choice."""
    try:
        sounddevice = portaudio()
    except HearingError:
        return False
    try:
        sounddevice.query_devices(None, "input")
    except (sounddevice.PortAudioError, ValueError):
        return False
    return True


def microphone_check(
    record: Callable[[float], Samples], recogniser: Recogniser, coach: Coach
) -> Iterator[Line]:
    """Say what to say, listen, and tell what was heard. Raises HearingError."""
    yield Line("begin.speak", {"word": "word_of_start", "seconds": SECONDS})
    yield judged(record(SECONDS), recogniser, coach)


def judged(samples: Samples, recogniser: Recogniser, coach: Coach) -> Line:
    """What is to be said of a recording in which "start" was asked for."""
    if loudest(samples) < QUIET:
        return Line("begin.quiet")
    scope = scope_at(Node.READY)
    recogniser.listen_for(coach.grammar(scope))
    texts = [u.text for u in transcribe(recogniser, samples) if u.text and not u.rejected]
    understood = [coach.understand(text, scope) for text in texts]
    meanings = {m.id for u in understood if u.decision != "pass" for m in u.meanings}
    if "start" in meanings:
        return Line("begin.heard", {"text": " ".join(texts)})
    if np.mean(np.abs(samples.astype(np.int32)) >= CLIPPED) > MANY:
        return Line("begin.loud")
    if meanings:
        return Line("begin.heard_other", {"text": " ".join(texts)})
    return Line("begin.not_heard")


def loudest(samples: Samples) -> float:
    """Decibels under full scale of the loudest 30 ms."""
    size = 480
    whole = samples[: len(samples) // size * size].astype(np.float64).reshape(-1, size)
    if not len(whole):
        return -np.inf
    power = np.max(np.mean((whole / 32_768) ** 2, axis=1))
    return float(10 * np.log10(power)) if power > 0 else -np.inf
