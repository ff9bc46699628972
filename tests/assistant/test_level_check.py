"""Is the athlete heard? With recordings of people and made-up sounds; no microphone is needed."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
import soxr

from assistant.coach import Coach
from assistant.demonstration.lines import script
from assistant.files import builtin_catalogue
from assistant.hearing.choose import choose_recogniser
from assistant.hearing.listener import blocks_of
from assistant.hearing.port import RATE, Recogniser, Samples
from assistant.hearing.wave import read_wave
from assistant.level_check import ASKED, SECONDS, Checked, hear_word, since
from assistant.session.nodes import Node
from assistant.session.scopes import scope_at

COACH = Coach.of(builtin_catalogue(), "en")
HISS = np.random.default_rng(1).normal(0, 8, 20 * RATE)


@pytest.fixture(scope="module")
def recogniser() -> Iterator[Recogniser]:
    opened = choose_recogniser("pocketsphinx", None).open()
    yield opened
    opened.close()


def spoken(text: str, gain: float = 1.0, noise: float = 1.0) -> Samples:
    """One of the demonstration's recordings in a second of hiss on either side."""
    line = next(line for line in script()[1] if line.text == text)
    word = np.pad(read_wave(line.file).astype(float), (RATE, 2 * RATE)) * gain
    return np.clip(word + HISS[: len(word)] * noise, -32_768, 32_767).astype(np.int16)


def checked(recogniser: Recogniser, samples: Samples) -> Checked:
    return hear_word(blocks_of(samples), recogniser, COACH)


def test_a_word_of_start_is_heard(recogniser: Recogniser) -> None:
    found = checked(recogniser, spoken("start"))
    assert found.line.id == "level.fine"
    assert found.fine
    assert found.levels.speech is not None


@pytest.mark.parametrize("text", ["start", "what comes next", "yes"])
def test_half_of_speech_is_told(recogniser: Recogniser, text: str) -> None:
    narrow = soxr.resample(soxr.resample(spoken(text), RATE, 8_000), 8_000, RATE)
    found = checked(recogniser, narrow.astype(np.int16))
    assert found.line.id == "level.narrow"
    assert not found.fine


@pytest.mark.parametrize("language", ["en", "ko"])
def test_the_word_that_is_asked_for_is_understood(language: str) -> None:
    coach = Coach.of(builtin_catalogue(), language)
    asked = coach.render(ASKED)
    word = coach.lines.words["word_of_ready"]
    assert word in asked
    understood = coach.understand(word, scope_at(Node.READY))
    assert [meaning.id for meaning in understood.meanings] == ["start"]


def test_another_command_is_told_as_it_was_understood(recogniser: Recogniser) -> None:
    found = checked(recogniser, spoken("what comes next"))
    assert found.line.id == "level.other"
    assert "what comes" in str(found.line.values["text"])
    assert not found.fine


@pytest.mark.parametrize(
    ("samples", "line"),
    [
        (np.zeros(6 * RATE, np.int16), "level.off"),
        (np.zeros(0, np.int16), "level.off"),
        (HISS[: 6 * RATE].astype(np.int16), "level.nothing"),
        ((HISS[: 6 * RATE] * 100).astype(np.int16), "level.loud_room"),
    ],
    ids=["dead", "nothing", "hiss", "roar"],
)
def test_nobody_who_speaks(recogniser: Recogniser, samples: Samples, line: str) -> None:
    assert checked(recogniser, samples).line.id == line


def test_too_loud_too_faint_and_too_noisy(recogniser: Recogniser) -> None:
    assert checked(recogniser, spoken("start", gain=20.0)).line.id == "level.clipping"
    assert checked(recogniser, spoken("start", gain=0.012, noise=0.1)).line.id == "level.far"
    assert checked(recogniser, spoken("start", noise=200.0)).line.id == "level.loud_room"


def test_it_waits_no_longer_than_it_must(recogniser: Recogniser) -> None:
    """Ended by the word, or by the time; a source without end is not read on."""
    taken: list[float] = []

    def source(samples: Samples) -> Iterator[tuple[Samples, float]]:
        for block, at in blocks_of(samples):
            taken.append(at)
            yield block, at

    hear_word(source(np.concatenate([spoken("start"), HISS.astype(np.int16)])), recogniser, COACH)
    assert taken[-1] < 3.0
    hear_word(source(HISS.astype(np.int16)), recogniser, COACH)
    assert taken[-1] == pytest.approx(SECONDS, abs=0.1)


def test_what_came_before_is_not_heard() -> None:
    times = [at for _, at in since(blocks_of(HISS.astype(np.int16)), 2.0)]
    assert times[0] == pytest.approx(2.0, abs=0.03)
