"""Charts say with places what their figures say with numbers."""

from __future__ import annotations

import pytest

from assistant.files import builtin_catalogue
from assistant.report.balance import Pair
from assistant.report.chart import (
    averages,
    effort_chart,
    load_chart,
    pair_chart,
    steps_chart,
    track_chart,
)
from assistant.report.track import track
from assistant.report.weeks import Stretch
from catalogue.history import SetDone
from catalogue.symmetry import Symmetry

CATALOGUE = builtin_catalogue()


def stretch(number: int, load: int, efforts: tuple[int, int, int] | None, off: int) -> Stretch:
    return Stretch(739_000 + 7 * number, 739_006 + 7 * number, 1, 30, load, 0, efforts, off)


def test_a_track_is_drawn_to_scale() -> None:
    movement = CATALOGUE.movements["line_walk"]  # 30 to 40 seconds
    sets = [
        SetDone(739_000, 1, movement.id, target=30, amount=20),
        SetDone(739_000, 1, movement.id, target=30, amount=30),
        SetDone(739_010, 2, movement.id, target=35, amount=35),
        SetDone(739_040, 3, movement.id, target=40, amount=40),
    ]
    chart = track_chart(track(movement, sets))
    ticks = {tick.value: tick.at for tick in chart.frame.rows}
    pixels = (ticks[0] - ticks[40]) / 40
    first, second, third = chart.marks
    assert ticks[0] - first.y == pytest.approx(25 * pixels, abs=0.1)
    assert (ticks[0] - first.bottom, ticks[0] - first.top) == pytest.approx(
        (20 * pixels, 30 * pixels), abs=0.1
    )
    assert third.y == pytest.approx(ticks[40], abs=0.1)
    assert chart.band.y == pytest.approx(ticks[40], abs=0.1)
    assert chart.band.height == pytest.approx(10 * pixels, abs=0.2)
    # Ten days and thirty: time is drawn to scale as well.
    assert (third.x - second.x) / (second.x - first.x) == pytest.approx(3, abs=0.02)
    assert [mark.outcome for mark in chart.marks] == ["short", "reached", "reached"]


def test_a_single_session_is_in_the_middle() -> None:
    movement = CATALOGUE.movements["line_walk"]
    chart = track_chart(track(movement, [SetDone(739_000, 1, movement.id, target=30, amount=30)]))
    (mark,) = chart.marks
    assert mark.x == (chart.frame.left + chart.frame.right) / 2
    assert mark.top == mark.bottom == mark.y


def test_bars_are_as_high_as_their_loads() -> None:
    weeks = [stretch(at, load, (5, 6, 7), 0) for at, load in enumerate((100, 0, 400, 200, 300))]
    chart = load_chart(weeks, averages(weeks))
    heights = [bar.height for bar in chart.bars]
    assert heights[1] == 0
    assert heights[2] == pytest.approx(4 * heights[0], rel=0.01)
    assert all(bar.y + bar.height == pytest.approx(chart.frame.bottom) for bar in chart.bars)
    assert chart.line.count("H") == 1  # one week has four before it
    lefts = [bar.x for bar in chart.bars]
    assert lefts == sorted(lefts)


def test_no_load_at_all_is_drawn_flat() -> None:
    chart = load_chart([stretch(0, 0, None, 0)])
    assert [bar.height for bar in chart.bars] == [0]
    assert effort_chart([stretch(0, 0, None, 0)]).marks == ()
    assert [bar.height for bar in steps_chart([stretch(0, 0, None, 3)]).bars] != [0]


def test_effort_has_its_whole_scale() -> None:
    chart = effort_chart([stretch(0, 100, (0, 5, 10), 0)])
    (mark,) = chart.marks
    assert [tick.value for tick in chart.frame.rows] == [0, 2, 4, 6, 8, 10]
    assert (mark.top, mark.bottom) == (chart.frame.rows[-1].at, chart.frame.rows[0].at)
    assert mark.y == chart.frame.rows[0].at / 2 + chart.frame.rows[-1].at / 2


def test_pairs_are_drawn_as_shares_of_the_longer() -> None:
    movement = CATALOGUE.movements["stork_stand"]
    chart = pair_chart([Pair(movement, "seconds", Symmetry(27, 30, 0, 0, 90, None), 1)])
    ((left, right),) = chart.rows
    assert left.width / right.width == pytest.approx(0.9, abs=0.005)
    assert left.x + left.width == pytest.approx(chart.ninety, abs=0.1)
    nothing = pair_chart([Pair(movement, "seconds", Symmetry(0, 0, 0, 0, 100, None), 1)])
    assert [bar.width for bar in nothing.rows[0]] == [0, 0]
