"""The report on one athlete's training: what a coach and an athlete look at together."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from operator import itemgetter
from typing import TypeVar

from assistant.report.balance import pairs
from assistant.report.chart import (
    BarChart,
    RangeChart,
    TrackChart,
    averages,
    effort_chart,
    load_chart,
    pair_chart,
    steps_chart,
    track_chart,
)
from assistant.report.decisions import decided, next_in, sentence
from assistant.report.ladder import level_map
from assistant.report.page import page
from assistant.report.past import Past
from assistant.report.spans import Grain
from assistant.report.track import Track, tracks
from assistant.report.weeks import Stretch, last_weeks, whole_record
from assistant.report.words import lines_of
from catalogue.conditions import rung
from catalogue.history import History
from catalogue.model import Catalogue, Level, Movement, Profile
from catalogue.training_load import BEFORE, explain, trend

RECENT = 56
"""Days that count as present: what was trained in them is shown first and decided on."""

LATELY = 28
"""Days that the overview at the top counts."""

TROUBLES = 30
CHANGES = 12
"""Rows in the tables of troubles and of changes, at most."""


Shown = TypeVar("Shown")


@dataclass(frozen=True)
class Drawn:
    """A movement's track with its chart."""

    track: Track
    chart: TrackChart


@dataclass(frozen=True)
class Loads:
    """Load, effort and steps off in stretches of one length, `over` so many days in all."""

    grain: Grain
    stretches: list[Stretch]
    over: int
    load: BarChart
    effort: RangeChart
    steps: BarChart


def report_page(
    catalogue: Catalogue, profile: Profile, past: Past, today: int, program: str
) -> str:
    """The report as one HTML page. `today` is a date's ordinal, `program` this version's name.

    A past without a session gives a page that says so.
    """
    history, lines = past.history, lines_of(profile.language)
    if not history.sessions:
        return page("empty.html", profile.language, athlete=profile.athlete, today=today)
    first, last = history.sessions[0].day, history.sessions[-1].day
    today, since = max(today, last), last - RECENT
    drawn = [Drawn(track, track_chart(track)) for track in tracks(catalogue.movements, history)]
    recent = [one for one in drawn if one.track.last_day >= since]
    sided = pairs(catalogue, history, since)
    grain, stretches = whole_record(history, today)
    ladders = level_map(catalogue, profile, history, today)
    coming = [next_in(catalogue, lines, ladder, history, today) for ladder in ladders]
    told = {one.behind.movement.id for one in coming if one.behind is not None}
    # What was passed comes back as a warm-up: a decision on it would lead nowhere.
    passed = {
        movement.id
        for ladder in ladders
        for cell in ladder.cells
        for movement, place, _ in cell.movements
        if place == "passed"
    }
    other = [one.track.movement for one in recent if one.track.movement.id not in told | passed]
    return page(
        "report.html",
        profile.language,
        athlete=profile.athlete,
        catalogue=catalogue.name,
        program=program,
        today=today,
        first_day=first,
        last_day=last,
        sessions=len(history.sessions),
        minutes=round(sum(done.minutes for done in history.sessions)),
        days_lately=len({done.day for done in history.sessions if done.day > today - LATELY}),
        lately=LATELY,
        load_told=[sentence(lines, reason) for reason in explain(trend(history, today))],
        weeks=_loads("week", last_weeks(history, today)),
        longer=_loads(grain, stretches) if len(stretches) > 1 else None,
        ladders=ladders,
        levels=[lines.word(level.value) for level in Level],
        coming=coming,
        other=_by_skill(
            catalogue,
            [(one, decided(catalogue, lines, one, history, today)) for one in other],
        ),
        recent=_by_skill(catalogue, [(one.track.movement, one) for one in recent]),
        earlier=_by_skill(catalogue, [(one.track.movement, one) for one in drawn[len(recent) :]]),
        pairs=sided,
        pair_chart=pair_chart(sided),
        off_lately=_came_off(history, since),
        troubles=past.troubles[: -TROUBLES - 1 : -1],
        more_troubles=max(0, len(past.troubles) - TROUBLES),
        changes=_changes(past, since),
        since=since,
        trained={one.track.movement.id for one in drawn},
        name=lambda movement: _name(catalogue, movement),
        word=lines.word,
    )


def _loads(grain: Grain, stretches: list[Stretch]) -> Loads:
    means = averages(stretches, BEFORE) if grain == "week" else ()
    return Loads(
        grain,
        stretches,
        stretches[-1].last - stretches[0].first,
        load_chart(stretches, means),
        effort_chart(stretches),
        steps_chart(stretches),
    )


def _by_skill(
    catalogue: Catalogue, shown: Iterable[tuple[Movement, Shown]]
) -> list[tuple[str, list[Shown]]]:
    """What is shown of each movement under its skill's name; skills in the catalogue's order."""
    groups: dict[str, list[tuple[int, Shown]]] = {skill: [] for skill in catalogue.skills}
    for movement, one in shown:
        if movement.skill is not None:
            groups[movement.skill].append((rung(movement), one))
    return [
        (catalogue.skills[skill].name, [one for _, one in sorted(group, key=itemgetter(0))])
        for skill, group in groups.items()
        if group
    ]


def _came_off(history: History, since: int) -> list[tuple[str, int, int]]:
    """Movements with steps off since a day: id, steps off, sessions; the most first."""
    steps: Counter[str] = Counter()
    sessions: dict[str, set[int]] = {}
    for done in history.sets:
        if done.day >= since:
            steps[done.movement] += done.came_off
            sessions.setdefault(done.movement, set()).add(done.session)
    return [(name, count, len(sessions[name])) for name, count in steps.most_common() if count]


def _changes(past: Past, since: int) -> list[tuple[str, str | None, str, int]]:
    """The commonest changes since a day: before, after, cause, how often."""
    counted = Counter(
        (change.before, change.after, change.cause)
        for change in past.changes
        if change.day >= since
    )
    return [(*change, times) for change, times in counted.most_common(CHANGES)]


def _name(catalogue: Catalogue, movement: str) -> str:
    known = catalogue.movements.get(movement)
    return known.name if known is not None else movement.replace("_", " ")
