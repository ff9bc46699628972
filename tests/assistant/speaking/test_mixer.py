import numpy as np
import pytest
from numpy.typing import NDArray

from assistant.speaking.mixer import FADE, PAUSE, End, Mixer
from assistant.speaking.port import Sound
from assistant.speaking.timeline import Timeline

RATE = 8_000


def tone(seconds: float, level: int = 8000) -> Sound:
    return Sound(np.full(round(seconds * RATE), level, np.int16), RATE)


class Bench:
    """A mixer that is asked for blocks, from second 0 on."""

    def __init__(self) -> None:
        self.timeline = Timeline(RATE)
        self.timeline.observe(0, 0.0)
        self.mixer = Mixer(self.timeline)
        self.out = np.zeros(0, np.float32)
        self.ends: list[End] = []

    def play(self, seconds: float, block: int = 80, heard: bool = True) -> NDArray[np.float32]:
        begin = len(self.out)
        for _ in range(round(seconds * RATE / block)):
            out = np.zeros(block, np.float32)
            self.ends += self.mixer.fill(block, out if heard else None)
            self.out = np.concatenate([self.out, out])
        return self.out[begin:]

    def told(self) -> list[tuple[str, bool]]:
        return [(end.tag, end.whole) for end in self.ends]


@pytest.fixture
def bench() -> Bench:
    return Bench()


def loud(out: NDArray[np.float32]) -> tuple[int, int]:
    """First and last frame with sound."""
    where = np.flatnonzero(out)
    return int(where[0]), int(where[-1])


def test_speech_starts_with_the_next_block(bench: Bench) -> None:
    bench.play(0.1)
    bench.mixer.say(tone(0.5), "a")
    bench.play(1.0)
    assert loud(bench.out) == (800, 800 + 4000 - 1)
    assert bench.told() == [("a", True)]
    assert bench.ends[0].frame == 4800


def test_lines_follow_one_another_with_a_breath_between(bench: Bench) -> None:
    bench.mixer.say(tone(0.1), "a")
    bench.mixer.say(tone(0.1), "b")
    bench.play(0.5)
    first, second = bench.ends
    assert second.frame - first.frame == round((PAUSE + 0.1) * RATE)
    silence = bench.out[first.frame : first.frame + round(PAUSE * RATE)]
    assert not silence.any()


@pytest.mark.parametrize("block", [1, 7, 80, 333, 8000])
def test_the_size_of_a_block_changes_nothing(block: int) -> None:
    wanted, got = Bench(), Bench()
    for bench, size in ((wanted, 80), (got, block)):
        bench.mixer.say(tone(0.21), "a")
        bench.mixer.mark(tone(0.1, 3000), 0.15, "m")
        bench.mixer.say(tone(0.2), "b", ends_at=0.9)
        bench.play(1.0 if 8000 % size == 0 else 1.05, size)
    length = min(len(wanted.out), len(got.out))
    np.testing.assert_array_equal(wanted.out[:length], got.out[:length])
    assert wanted.ends == got.ends


def test_speech_ends_on_its_mark_to_the_frame(bench: Bench) -> None:
    bench.mixer.say(tone(0.33), "cue", ends_at=1.5)
    bench.play(2.0)
    assert loud(bench.out) == (round(1.17 * RATE), 1.5 * RATE - 1)


def test_speech_too_late_for_its_mark_starts_at_once(bench: Bench) -> None:
    bench.mixer.say(tone(1.0), "cue", ends_at=0.2)
    bench.play(1.5)
    assert loud(bench.out)[0] == 0
    assert bench.told() == [("cue", True)]


def test_marks_stand_at_their_frames_over_speech(bench: Bench) -> None:
    bench.mixer.say(tone(2.0, 8000), "long")
    for second in (0.5, 1.0, 1.5):
        bench.mixer.mark(tone(0.01, 4000), second, f"m{second}")
    bench.play(2.0)
    rises = np.flatnonzero(np.diff(bench.out) > 0.05) + 1
    assert rises.tolist() == [4000, 8000, 12000]
    assert bench.out.max() == pytest.approx(12000 / 32768)


def test_a_late_mark_sounds_at_once(bench: Bench) -> None:
    bench.play(1.0)
    bench.mixer.mark(tone(0.01), 0.5, "late")
    bench.play(0.1)
    assert loud(bench.out)[0] == RATE


def test_dropped_marks_are_silent_and_those_begun_sound_to_their_end(bench: Bench) -> None:
    bench.mixer.mark(tone(0.2), 0.1, "begun")
    bench.mixer.mark(tone(0.2), 0.5, "dropped")
    bench.play(0.2)
    bench.mixer.drop_marks()
    bench.play(1.0)
    assert loud(bench.out) == (800, 2399)


def test_hush_fades_within_20_ms_without_a_jump(bench: Bench) -> None:
    bench.mixer.say(tone(2.0, 20000), "long")
    bench.mixer.say(tone(0.1), "queued")
    bench.mixer.mark(tone(1.0, 5000), 0.3, "beep")
    bench.play(0.5)
    bench.mixer.hush()
    rest = bench.play(1.0)
    assert loud(rest)[1] <= FADE * RATE
    steps = np.abs(np.diff(bench.out[3900:]))
    assert steps.max() < 2.5 * 25000 / 32768 / (FADE * RATE)
    assert bench.told() == [("long", False), ("queued", False)]


def test_after_a_hush_new_speech_and_waiting_marks_sound(bench: Bench) -> None:
    bench.mixer.say(tone(2.0), "old")
    bench.mixer.mark(tone(0.1), 1.0, "kept")
    bench.play(0.5)
    bench.mixer.hush()
    bench.mixer.say(tone(0.1), "new")
    bench.play(1.0)
    assert bench.told() == [("old", False), ("new", True)]
    assert bench.out[RATE : RATE + 800].all()


def test_hush_in_silence_is_nothing(bench: Bench) -> None:
    bench.mixer.hush()
    assert not bench.play(0.2).any()
    assert bench.ends == []


def test_unheard_time_passes_the_same_but_speech_is_not_whole(bench: Bench) -> None:
    bench.mixer.say(tone(0.5), "lost")
    bench.mixer.say(tone(0.1), "after")
    bench.play(0.3)
    bench.play(0.2, heard=False)
    assert bench.told() == [("lost", False)]
    bench.play(0.5)
    assert bench.told() == [("lost", False), ("after", True)]


def test_quieter_is_quieter_and_changes_without_a_jump(bench: Bench) -> None:
    bench.mixer.say(tone(1.0, 16000), "a")
    bench.play(0.2)
    bench.mixer.set_volume(0.5)
    bench.play(0.8)
    full, half = bench.out[800], bench.out[4000]
    # Half as loud is about 10 dB less: the sone scale (Stevens, 1936), from memory.
    assert 20 * np.log10(full / half) == pytest.approx(10, abs=0.1)
    assert np.abs(np.diff(bench.out[:7000])).max() < 0.01


def test_too_much_at_once_is_limited_not_wrapped(bench: Bench) -> None:
    bench.mixer.say(tone(0.1, 30000), "a")
    bench.mixer.mark(tone(0.1, 30000), 0.0, "m")
    assert bench.play(0.1).max() == 1.0


def test_what_is_being_said_is_known_by_time(bench: Bench) -> None:
    bench.play(1.0)
    bench.mixer.say(tone(0.5), "a")
    bench.play(0.1)
    (span,) = bench.mixer.saying(1.2)
    assert (span.tag, span.began, span.ended) == ("a", 1.0, 1.5)
    assert bench.mixer.saying(0.9) == []
    assert bench.mixer.saying(1.6) == []
    assert [s.tag for s in bench.mixer.saying(1.6, after=0.5)] == ["a"]


def test_a_hushed_line_is_being_said_only_until_the_hush(bench: Bench) -> None:
    bench.mixer.say(tone(2.0), "a")
    bench.play(0.5)
    bench.mixer.hush()
    bench.play(0.1)
    (span,) = bench.mixer.spans
    assert span.ended == pytest.approx(0.5 + FADE)


def test_at_another_rate_everything_goes_on_where_it_was(bench: Bench) -> None:
    bench.mixer.say(tone(1.0), "a")
    bench.mixer.say(tone(0.1), "b", ends_at=2.0)
    bench.play(0.5)
    bench.mixer.change_rate(2 * RATE)
    bench.timeline.observe(bench.mixer.frame, 0.5)
    bench.mixer.mark(tone(0.1, 3000), 1.75, "m")
    out = np.zeros(2 * RATE * 2, np.float32)
    ends = bench.mixer.fill(len(out), out)
    assert [(end.tag, round(bench.timeline.time_of(end.frame), 3)) for end in ends] == [
        ("a", 1.0),
        ("b", 2.0),
    ]
    assert abs(out[round(1.30 * 2 * RATE)]) > 0.05


def test_an_empty_sound_ends_at_once(bench: Bench) -> None:
    bench.mixer.say(Sound(np.zeros(0, np.int16), RATE), "nothing")
    bench.mixer.mark(Sound(np.zeros(0, np.int16), RATE), 0.0, "nothing")
    bench.play(0.1)
    assert bench.told() == [("nothing", True)]
