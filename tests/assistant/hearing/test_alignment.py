"""Texts laid along recordings of people and of a synthetic voice."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.demonstration.lines import script
from assistant.hearing.adaptation import START_MEAN
from assistant.hearing.alignment import Aligner
from assistant.hearing.port import RATE, Samples
from assistant.hearing.wave import read_wave


@pytest.fixture(scope="module")
def aligner() -> Aligner:
    return Aligner({"loglevel": "FATAL"}, {"zibbly": "Z IH B L IY"}.get)


def recording(text: str) -> Samples:
    """One of the demonstration's, in a quiet room."""
    line = next(line for line in script()[1] if line.text == text)
    sound = np.pad(read_wave(line.file), RATE // 4).astype(float)
    return (sound + np.random.default_rng(1).normal(0, 5, len(sound))).astype(np.int16)


@pytest.mark.parametrize(
    ("said", "other"),
    [
        ("start", "mother"),
        ("what comes next", "one yellow chair"),
        ("i came off", "the weather is fine"),
    ],
)
def test_what_was_said_fits_better_than_something_else(
    aligner: Aligner, said: str, other: str
) -> None:
    sound = recording(said)
    fit, worse = aligner.fit(said, sound, START_MEAN), aligner.fit(other, sound, START_MEAN)
    assert fit is not None
    # What sounds quite different can not be laid along at all.
    assert worse is None or worse.whole < fit.whole - fit.frames


def test_a_ratio_has_a_sign(aligner: Aligner) -> None:
    sound = recording("start")
    ratio = aligner.ratio("start", "mother", sound, START_MEAN)
    back = aligner.ratio("mother", "start", sound, START_MEAN)
    assert ratio is not None
    assert back is not None
    assert ratio > 1 > -1 > back


def test_texts_that_sound_the_same_fit_alike(aligner: Aligner) -> None:
    ratio = aligner.ratio("no", "know", recording("no"), START_MEAN)
    assert ratio == pytest.approx(0.0, abs=0.5)
    assert aligner.ratio("no", "no", recording("no"), START_MEAN) == 0


def test_the_words_take_their_part_of_the_sound(aligner: Aligner) -> None:
    sound = recording("what comes next")
    fit = aligner.fit("what comes next", sound, START_MEAN)
    assert fit is not None
    assert 0.3 < fit.frames / 100 < len(sound) / RATE
    assert fit.whole < fit.words < 0


def test_what_can_not_be_laid_along_is_told_by_none(aligner: Aligner) -> None:
    sound = recording("start")
    assert aligner.fit("", sound, START_MEAN) is None
    assert aligner.fit("xyzzyq", sound, START_MEAN) is None
    assert aligner.ratio("start", "xyzzyq", sound, START_MEAN) is None
    assert aligner.fit("start " * 60, sound[: RATE // 2], START_MEAN) is None
    assert aligner.fit("zibbly", sound, START_MEAN) is not None
