"""Where speech begins and ends, told from invented sound and from flite's voices."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from assistant.hearing.endpoint import Endpointer, LoudnessEndpointer, Noise, decibels
from assistant.hearing.listener import blocks_of
from assistant.hearing.port import BLOCK, RATE, Samples
from assistant.hearing.wave import read_wave
from tests.assistant.hearing.sounds import hiss, in_room


def run(endpointer: Endpointer, sound: Samples) -> list[tuple[float, float]]:
    """Stretches of speech (began, last sound), ended by 0.3 s of silence."""
    found: list[tuple[float, float]] = []
    began = 0.0
    for block, at in blocks_of(sound):
        step = endpointer.hear(block, at)
        if step.began is not None:
            began = step.began
        if endpointer.speaking and step.silence >= 0.3:
            found.append((began, step.last_sound))
            endpointer.rest()
    return found


both = pytest.mark.parametrize("kind", [Endpointer, LoudnessEndpointer])


@both
def test_one_word_is_one_stretch(
    say: Callable[[str, str], Samples], kind: type[Endpointer]
) -> None:
    sound = say("stop", "slt")
    loud = np.flatnonzero(np.abs(sound.astype(int)) > 500) / RATE
    [(began, last)] = run(kind(), sound)
    assert loud[0] - 0.35 < began <= loud[0]
    assert abs(last - loud[-1]) < 0.15


@both
@pytest.mark.parametrize("sound", [hiss(5.0), np.zeros(5 * RATE, np.int16)])
def test_a_quiet_room_is_silent(sound: Samples, kind: type[Endpointer]) -> None:
    assert run(kind(), sound) == []


@both
def test_a_click_is_no_speech(kind: type[Endpointer]) -> None:
    click = np.zeros(RATE // 50, np.int16)
    click[::2], click[1::2] = 20_000, -20_000
    assert run(kind(), in_room(click)) == []


def test_steady_noise_becomes_the_background() -> None:
    loud = (np.random.default_rng(1).normal(0, 300, 30 * RATE)).astype(np.int16)
    endpointer = Endpointer()
    run(endpointer, loud)
    assert endpointer.noise_level == pytest.approx(decibels(loud), abs=4)
    assert run(endpointer, loud[: 5 * RATE]) == []


def test_by_loudness_a_voice_that_hardly_stands_out_is_none(
    say: Callable[[str, str], Samples],
) -> None:
    """As what is left of the coach's voice: 6 dB above the noise, where 9 are asked for."""
    sound = say("start", "slt").astype(float)
    loud = np.sqrt(np.mean(sound[np.abs(sound) > 500] ** 2))
    noise = np.random.default_rng(4).normal(0, loud / 10 ** (6 / 20), len(sound) + 15 * RATE)
    noise[15 * RATE :] += sound
    assert run(LoudnessEndpointer(), noise.astype(np.int16)) == []
    [(began, _)] = run(Endpointer(), noise.astype(np.int16))
    assert began > 15


def test_the_background_falls_fast_and_rises_slowly() -> None:
    noise = Noise()
    for _ in range(50):
        noise.hear(20.0, speaking=False)
    assert noise.level < 25
    for _ in range(100):
        noise.hear(70.0, speaking=True)
    assert noise.level < 27


def test_nothing_of_the_sound_is_lost(say: Callable[[str, str], Samples]) -> None:
    sound, endpointer = say("log thirty eight seconds", "slt"), Endpointer()
    began, parts = None, []
    for block, at in blocks_of(sound):
        step = endpointer.hear(block, at)
        began = step.began if step.began is not None else began
        parts.append(step.sound)
    heard = np.concatenate(parts)
    assert began is not None
    first = round(began * RATE)
    whole = sound[first:]
    # The last block of a recording is padded with silence.
    assert np.array_equal(heard[: len(whole)], whole)
    assert not heard[len(whole) :].any()


def test_blocks_of_any_length_are_heard_alike(say: Callable[[str, str], Samples]) -> None:
    sound = say("stop", "slt")
    usual = run(Endpointer(), sound)
    odd, found, began = Endpointer(), [], 0.0
    for start in range(0, len(sound), 333):
        step = odd.hear(sound[start : start + 333], start / RATE)
        began = step.began if step.began is not None else began
        if odd.speaking and step.silence >= 0.3:
            found.append((began, step.last_sound))
            odd.rest()
    assert np.array(found) == pytest.approx(np.array(usual), abs=0.02)
    assert BLOCK % 160 == 0


def test_clatter_does_not_keep_an_utterance_going(
    say: Callable[[str, str], Samples], recordings: Path
) -> None:
    """A word in a recorded kitchen, its mean level 18 dB below the word's, at twenty places."""
    word = say("stop", "slt").astype(float)
    loud = np.flatnonzero(np.abs(word) > 500)
    level = np.sqrt(np.mean(word[loud[0] : loud[-1]] ** 2))
    kitchen = read_wave(recordings / "kitchen-noise.wav").astype(float)
    kitchen *= level / 10 ** (18 / 20) / np.sqrt(np.mean(kitchen**2))
    late = 0
    for place in range(20):
        noise = kitchen[place * 5 * RATE :][: 5 * RATE]
        heard = noise.copy()
        heard[2 * RATE : 2 * RATE + len(word)] += word
        last = 2 + loud[-1] / RATE
        found = run(Endpointer(), heard.astype(np.int16))
        late += not any(began < last < end + 0.3 and end < last + 0.2 for began, end in found)
    assert late <= 2
