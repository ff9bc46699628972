from itertools import combinations

import numpy as np
import pytest
from numpy.typing import NDArray

from assistant.session.effects import Mark
from assistant.speaking.earcons import MARKS, PEAK, RATE, earcon
from assistant.speaking.shape import PEAK as SPEECH_PEAK


def wave(mark: Mark) -> NDArray[np.float64]:
    return earcon(mark).samples / 32767


def test_there_is_one_for_every_mark_of_a_session() -> None:
    assert set(MARKS) == {"heard", "not_understood", "count", "go", "end", "half"}


@pytest.mark.parametrize("mark", MARKS)
def test_short_loud_enough_and_never_too_loud_over_speech(mark: Mark) -> None:
    assert 0.05 <= earcon(mark).seconds <= 0.7
    assert np.abs(wave(mark)).max() == pytest.approx(PEAK, abs=0.001)
    assert PEAK + SPEECH_PEAK <= 1.0


@pytest.mark.parametrize("mark", MARKS)
def test_no_clicks(mark: Mark) -> None:
    samples = wave(mark)
    assert abs(samples[0]) < 0.001
    assert abs(samples[-1]) < 0.002
    # A click is energy far above the highest tone: less than a thousandth of the whole.
    spectrum = np.abs(np.fft.rfft(samples)) ** 2
    hertz = np.fft.rfftfreq(len(samples), 1 / RATE)
    assert spectrum[hertz > 8000].sum() < 0.001 * spectrum.sum()


@pytest.mark.parametrize("mark", ["count", "go"])
def test_marks_of_the_clock_can_be_timed_to_milliseconds(mark: Mark) -> None:
    loud = np.abs(wave(mark)) > PEAK / 2
    assert np.argmax(loud) / RATE < 0.003


@pytest.mark.parametrize("mark", MARKS)
def test_heard_from_a_small_loudspeaker(mark: Mark) -> None:
    # A telephone's loudspeaker gives little below 300 Hz (common practice, no published source).
    spectrum = np.abs(np.fft.rfft(wave(mark))) ** 2
    hertz = np.fft.rfftfreq(len(wave(mark)), 1 / RATE)
    assert spectrum[hertz > 250].sum() > 0.95 * spectrum.sum()


def contour(mark: Mark) -> list[float]:
    """The strongest frequency in each 50 ms: what the ear follows."""
    pieces = range(0, len(wave(mark)) - RATE // 20 + 1, RATE // 20)
    found = []
    for begin in pieces:
        piece = wave(mark)[begin : begin + RATE // 20]
        if np.abs(piece).max() > 0.01:
            found.append(float(np.argmax(np.abs(np.fft.rfft(piece))) * 20))
    return found


def test_any_two_differ_in_pitch_or_in_length_by_far() -> None:
    for one, other in combinations(MARKS, 2):
        lengths = earcon(one).seconds / earcon(other).seconds
        pitches = contour(one)[0] / contour(other)[0]
        length_apart = max(lengths, 1 / lengths) > 1.4
        # More than a minor third.
        pitch_apart = max(pitches, 1 / pitches) > 1.19
        assert length_apart or pitch_apart, (one, other)


def test_understood_rises_and_not_understood_falls() -> None:
    assert contour("heard")[-1] > 1.2 * contour("heard")[0]
    assert contour("not_understood")[-1] < contour("not_understood")[0] / 1.2
