"""Movements over time, checked against the record's own spreadsheet."""

from __future__ import annotations

import csv
import io
from collections import defaultdict
from pathlib import Path

import pytest

from assistant.files import builtin_catalogue
from assistant.record.export import export, to_csv
from assistant.record.store import Store
from assistant.report.past import Past
from assistant.report.spans import MOST
from assistant.report.track import outcome, track, tracks
from catalogue.history import History, SetDone
from catalogue.model import Phase, Profile

CATALOGUE = builtin_catalogue()


def test_tracks_agree_with_the_spreadsheet(season: Path, past: tuple[Profile, Past]) -> None:
    with Store.open(season, read_only=True) as store:
        rows = list(csv.DictReader(io.StringIO(to_csv(export(store)), newline="")))
    sessions, off, amounts = defaultdict(set), defaultdict(int), defaultdict(list)
    for row in rows:
        if CATALOGUE.movements[row["movement"]].phase is Phase.MAIN:
            sessions[row["movement"]].add(row["session"])
            off[row["movement"]] += int(row["came_off"])
            amounts[row["movement"]].append(float(row["amount"]))
    found = tracks(CATALOGUE.movements, past[1].history)
    assert {one.movement.id for one in found} == set(sessions)
    assert len(found) > 8
    for one in found:
        name = one.movement.id
        assert one.sessions == len(sessions[name])
        assert one.came_off == off[name]
        assert max(point.high for point in one.points) == max(amounts[name])
        assert min(point.low for point in one.points) == min(amounts[name])
        total = sum(point.mean * point.sets for point in one.points)
        assert total == pytest.approx(sum(amounts[name]))
    assert sum(off.values()) > 0  # the season had falls in it


def test_outcomes_come_worst_first() -> None:
    good = SetDone(1, 1, "line_walk", target=30, amount=30)
    short = SetDone(1, 1, "line_walk", target=30, amount=29)
    broken = SetDone(1, 1, "line_walk", target=30, amount=30, whole=False)
    off = SetDone(1, 1, "line_walk", target=30, amount=30, came_off=1)
    hurt = SetDone(1, 1, "line_walk", target=30, amount=30, pain=True)
    assert outcome([good]) == "reached"
    assert outcome([good, short]) == outcome([broken]) == "short"
    assert outcome([short, off]) == "off"
    assert outcome([off, hurt, short]) == "pain"


def test_many_sessions_are_gathered() -> None:
    sets = [
        SetDone(740_000 + number, number, "line_walk", target=30, amount=20 + number % 21)
        for number in range(500)
    ]
    one = track(CATALOGUE.movements["line_walk"], sets)
    assert len(one.points) <= MOST
    assert one.sessions == 500
    assert sum(point.sets for point in one.points) == 500


def test_a_shared_movement_is_shown_by_the_side() -> None:
    movement = CATALOGUE.movements["sideways_crawl"]
    span = movement.dosage.seconds
    one = track(movement, [SetDone(740_000, 1, movement.id, "left", target=15, amount=15)])
    assert one.each_side
    assert one.band == (round(span.low / 2), round(span.high / 2))


def test_what_left_the_catalogue_is_passed_over() -> None:
    assert tracks(CATALOGUE.movements, History((SetDone(1, 1, "long_gone", amount=5),))) == []
