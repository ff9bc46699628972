import random

import pytest

from assistant.speaking.timeline import Timeline

RATE = 48_000
BLOCK = 360


def run(
    line: Timeline,
    seconds: float,
    *,
    begin: int = 0,
    at: float = 0.0,
    ppm: float = 0.0,
    jitter: float = 0.0,
    seed: int = 1,
) -> int:
    """Tell of blocks of a card whose second is off by `ppm`; the next frame."""
    chance = random.Random(seed)
    frame = begin
    while frame < begin + seconds * RATE:
        true = at + (frame - begin) / RATE * (1 + ppm / 1e6)
        line.observe(frame, true + chance.uniform(-jitter, jitter))
        frame += BLOCK
    return frame


def test_follows_a_perfect_card_exactly() -> None:
    line = Timeline(RATE)
    run(line, 10.0, at=5.0)
    assert line.time_of(20 * RATE) == pytest.approx(25.0, abs=1e-9)
    assert line.frame_of(25.0) == 20 * RATE


@pytest.mark.parametrize("ppm", [-200, -50, 50, 200])
def test_an_hour_later_a_drifting_card_is_still_right(ppm: float) -> None:
    # Crystals of sound cards are off by some 10 to 100 millionths (common practice, no published
    # source); an hour of 200 is 0.7 s, were it not followed.
    line = Timeline(RATE)
    frame = run(line, 3600.0, ppm=ppm, jitter=0.005)
    true = frame / RATE * (1 + ppm / 1e6)
    assert line.time_of(frame) == pytest.approx(true, abs=0.002)


def test_jitter_of_the_tellings_hardly_reaches_the_map() -> None:
    line = Timeline(RATE)
    run(line, 5.0, jitter=0.01)
    errors = []
    for second in range(5, 60):
        run(line, 1.0, begin=second * RATE, at=second, jitter=0.01, seed=second)
        errors.append(abs(line.time_of(second * RATE) - second))
    assert max(errors) < 0.002


def test_neighbouring_marks_keep_their_distance_while_an_error_is_mended() -> None:
    line = Timeline(RATE)
    frame = run(line, 5.0)
    before = line.frame_of(6.0)
    # From now on the card tells 40 ms more: it is followed, but not so that the next count limps.
    run(line, 1.0, begin=frame, at=frame / RATE + 0.04)
    gap = line.frame_of(7.0) - before
    assert abs(gap / RATE - 1.0) <= 0.0021


def test_lost_sound_starts_a_new_map_soon() -> None:
    line = Timeline(RATE)
    frame = run(line, 5.0)
    shifted = frame / RATE + 0.4
    run(line, 0.5, begin=frame, at=shifted)
    assert line.time_of(frame) == pytest.approx(shifted, abs=0.005)


def test_one_late_telling_changes_nothing() -> None:
    line = Timeline(RATE)
    frame = run(line, 5.0)
    line.observe(frame, frame / RATE + 0.3)
    assert line.time_of(frame) == pytest.approx(frame / RATE, abs=1e-6)


def test_the_burst_that_fills_a_buffer_at_the_start_is_forgotten() -> None:
    line = Timeline(RATE)
    for block in range(4):
        line.observe(block * BLOCK, 0.0)
    run(line, 2.0, begin=4 * BLOCK, at=0.3)
    assert line.time_of(4 * BLOCK) == pytest.approx(0.3, abs=0.001)


def test_after_a_restart_the_first_telling_counts() -> None:
    line = Timeline(RATE)
    run(line, 5.0)
    line.restart(16_000)
    line.observe(80_000, 9.0)
    assert line.time_of(96_000) == pytest.approx(10.0)
