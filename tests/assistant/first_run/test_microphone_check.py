"""Is the athlete heard? With recordings of people and made-up sounds; no microphone is needed."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest

from assistant.coach import Coach
from assistant.demonstration.lines import script
from assistant.files import builtin_catalogue
from assistant.first_run.microphone_check import SECONDS, judged, loudest, microphone_check
from assistant.hearing.choose import choose_recogniser
from assistant.hearing.port import RATE, Recogniser, Samples
from assistant.hearing.wave import read_wave
from intents.lines import Line

COACH = Coach.of(builtin_catalogue(), "en")


@pytest.fixture(scope="module")
def recogniser() -> Iterator[Recogniser]:
    opened = choose_recogniser("pocketsphinx", None).open()
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def start() -> Samples:
    """The demonstration's recording of "start", with silence round it."""
    line = next(line for line in script()[1] if line.text == "start")
    quiet = np.zeros(RATE, np.int16)
    return np.concatenate([quiet, read_wave(line.file), quiet])


def test_a_spoken_start_is_heard(recogniser: Recogniser, start: Samples) -> None:
    asked: list[float] = []

    def record(seconds: float) -> Samples:
        asked.append(seconds)
        return start

    lines = list(microphone_check(record, recogniser, COACH))
    assert [line.id for line in lines] == ["begin.speak", "begin.heard"]
    assert asked == [SECONDS]
    assert "start" in str(lines[1].values["text"])


def test_silence_is_told(recogniser: Recogniser) -> None:
    random = np.random.default_rng(1)
    for level in (0, 5):
        hiss = (random.standard_normal(3 * RATE) * level).astype(np.int16)
        assert judged(hiss, recogniser, COACH) == Line("begin.quiet")
    assert judged(np.zeros(0, np.int16), recogniser, COACH) == Line("begin.quiet")


def test_noise_without_words_is_told(recogniser: Recogniser) -> None:
    random = np.random.default_rng(2)
    noise = (random.standard_normal(3 * RATE) * 600).astype(np.int16)
    assert judged(noise, recogniser, COACH).id == "begin.not_heard"


def test_a_cut_off_roar_is_told(recogniser: Recogniser) -> None:
    roar = np.sign(np.sin(2 * np.pi * 220 * np.arange(3 * RATE) / RATE)) * 32_767
    assert judged(roar.astype(np.int16), recogniser, COACH).id == "begin.loud"


def test_loudness_is_in_decibels_under_full_scale() -> None:
    """A full-scale sine is 3.01 dB under full scale, a tenth of it 20 dB less (by definition)."""
    sine = np.sin(2 * np.pi * 1000 * np.arange(RATE) / RATE)
    assert loudest((sine * 32_767).astype(np.int16)) == pytest.approx(-3.01, abs=0.02)
    assert loudest((sine * 3_276.7).astype(np.int16)) == pytest.approx(-23.01, abs=0.02)
    assert loudest(np.zeros(RATE, np.int16)) == -np.inf
