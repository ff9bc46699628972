"""Charts as plain geometry: where every mark goes, in the units of a drawing of fixed size.

No words and no colours: those are the template's.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from assistant.report.axis import Scale, Tick, day_ticks, whole_ticks
from assistant.report.balance import Pair
from assistant.report.track import Outcome, Track
from assistant.report.weeks import Stretch

LEFT, RIGHT, TOP, BOTTOM = 40, 10, 10, 24
"""Room round the plot for the axes' words."""

GAP = 8
"""Room between the plot's edges and the first and last mark."""

NAMES, FIGURES = 150, 80
"""Room beside pairs of bars for the names of movements and for figures."""

MOST_EFFORT = 10
MOST_NAMES = 7
"""Stretches that are named under a row of bars, at most."""

BAR, WIDEST = 0.7, 40
"""The part of its place that a bar fills, and its greatest width."""


class Mark(NamedTuple):
    """A point with the range round it; `outcome` picks its shape."""

    x: float
    y: float
    top: float
    bottom: float
    outcome: Outcome


class Bar(NamedTuple):
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True)
class Frame:
    """A drawing with a plot in it, and the ticks of both axes."""

    width: int
    height: int
    rows: tuple[Tick, ...]
    columns: tuple[Tick, ...]

    left, top = LEFT, TOP

    @property
    def right(self) -> int:
        return self.width - RIGHT

    @property
    def bottom(self) -> int:
        return self.height - BOTTOM


@dataclass(frozen=True)
class TrackChart:
    """A movement over time: the coach's range as a band, the targets as steps, the marks."""

    frame: Frame
    band: Bar
    target: str
    marks: tuple[Mark, ...]


@dataclass(frozen=True)
class BarChart:
    """Bars of amounts over time. `line` is a path over them, empty where there is none."""

    frame: Frame
    bars: tuple[Bar, ...]
    line: str = ""


@dataclass(frozen=True)
class RangeChart:
    """Lowest to highest with the mean as a mark, over time."""

    frame: Frame
    marks: tuple[Mark, ...]


@dataclass(frozen=True)
class PairChart:
    """Two bars for each movement, left above right, each as a part of the longer one."""

    width: int
    height: int
    rows: tuple[tuple[Bar, Bar], ...]
    ninety: float


def track_chart(track: Track, width: int = 360, height: int = 190) -> TrackChart:
    """A movement's points from its first to its last day."""
    points = track.points
    top = max(max(point.high for point in points), track.band[1], max(p.target for p in points))
    first, last = points[0].first, points[-1].last
    across = Scale(first, last, LEFT + GAP, width - RIGHT - GAP)
    rows = whole_ticks(0, top)
    up = Scale(rows[0], rows[-1], height - BOTTOM, TOP)
    columns = tuple(Tick(across(day), day) for day in day_ticks(first, last))
    frame = Frame(width, height, _ticks(up, rows), columns)
    marks = tuple(
        Mark(
            across((point.first + point.last) / 2),
            up(point.mean),
            up(point.high),
            up(point.low),
            point.outcome,
        )
        for point in points
    )
    low, high = track.band
    band = Bar(LEFT, up(high), frame.right - LEFT, round(up(low) - up(high), 1))
    # A target holds until the next one is asked for: the line has steps, no slopes.
    places = [mark.x for mark in marks]
    target = f"M{LEFT} {up(points[0].target)}"
    for before, here, point in zip(places, places[1:], points[1:], strict=False):
        target += f"H{round((before + here) / 2, 1)}V{up(point.target)}"
    return TrackChart(frame, band, f"{target}H{frame.right}", marks)


def load_chart(
    stretches: Sequence[Stretch], averages: Sequence[float | None] = (), width: int = 520
) -> BarChart:
    """The load of each stretch, and over it the averages of the stretches before, where known."""
    values = [stretch.load for stretch in stretches]
    high = max([*values, *(average for average in averages if average is not None), 1])
    chart, up = _bars(stretches, values, high, width)
    line = ""
    for bar, average in zip(chart.bars, averages, strict=False):
        if average is None:
            continue
        step = f"{bar.x} {up(average)}"
        line += f"{'L' if line else 'M'}{step}H{round(bar.x + bar.width, 1)}"
    return BarChart(chart.frame, chart.bars, line)


def steps_chart(stretches: Sequence[Stretch], width: int = 520) -> BarChart:
    """Steps off in each stretch."""
    values = [stretch.came_off for stretch in stretches]
    return _bars(stretches, values, max([*values, 1]), width)[0]


def effort_chart(stretches: Sequence[Stretch], width: int = 520) -> RangeChart:
    """Effort of sessions on its whole scale, 0 to 10."""
    frame, up = _row_of(stretches, range(0, MOST_EFFORT + 1, 2), width)
    places = _places(len(stretches), width)
    marks = tuple(
        Mark(round(x + wide / 2, 1), up(said[1]), up(said[2]), up(said[0]), "reached")
        for (x, wide), said in zip(places, (one.efforts for one in stretches), strict=True)
        if said is not None
    )
    return RangeChart(frame, marks)


def pair_chart(pairs: Sequence[Pair], width: int = 620, row: int = 34) -> PairChart:
    """Both sides of each movement; the longer bar of every pair is equally long."""
    across = Scale(0, 100, NAMES, width - FIGURES)
    rows = []
    for number, pair in enumerate(pairs):
        most = max(pair.sides.left, pair.sides.right) or 1
        left, right = (
            Bar(NAMES, number * row + down, round(across(side / most * 100) - NAMES, 1), 11)
            for side, down in ((pair.sides.left, 4), (pair.sides.right, 18))
        )
        rows.append((left, right))
    return PairChart(width, row * len(pairs) + 4, tuple(rows), across(90))


def averages(stretches: Sequence[Stretch], before: int = 4) -> list[float | None]:
    """For each stretch the mean load of the `before` ones before it; None where they are fewer."""
    loads = [stretch.load for stretch in stretches]
    return [
        sum(loads[at - before : at]) / before if at >= before else None for at in range(len(loads))
    ]


def _bars(
    stretches: Sequence[Stretch], values: Sequence[float], high: float, width: int
) -> tuple[BarChart, Scale]:
    frame, up = _row_of(stretches, whole_ticks(0, high), width)
    bars = tuple(
        Bar(x, up(value), wide, round(frame.bottom - up(value), 1))
        for (x, wide), value in zip(_places(len(stretches), width), values, strict=True)
    )
    return BarChart(frame, bars), up


def _row_of(
    stretches: Sequence[Stretch], rows: Sequence[int], width: int, height: int = 190
) -> tuple[Frame, Scale]:
    """A frame in which every stretch has as much room as any other, named by its first day."""
    up = Scale(rows[0], rows[-1], height - BOTTOM, TOP)
    places = _places(len(stretches), width)
    every = -(-len(stretches) // MOST_NAMES)
    columns = tuple(
        Tick(round(x + wide / 2, 1), one.first)
        for (x, wide), one in list(zip(places, stretches, strict=True))[::every]
    )
    return Frame(width, height, _ticks(up, rows), columns), up


def _places(count: int, width: int) -> list[tuple[float, float]]:
    """Left edge and width of what stands for each of so many stretches, in order."""
    room = (width - RIGHT - LEFT) / count
    wide = round(min(room * BAR, WIDEST), 1)
    return [(round(LEFT + room * at + (room - wide) / 2, 1), wide) for at in range(count)]


def _ticks(up: Scale, rows: Sequence[int]) -> tuple[Tick, ...]:
    return tuple(Tick(up(row), row) for row in rows)
