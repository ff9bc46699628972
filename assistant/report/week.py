"""A week's plan to read in a terminal, and as a calendar (RFC 5545)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, time, timedelta
from uuid import NAMESPACE_URL, uuid5

from icalendar import Calendar, Event

from assistant.counted import counted
from assistant.record.columns import clean, width, wrap
from assistant.report.decisions import sentence
from assistant.report.words import lines_of
from assistant.session.wording import dose
from catalogue.model import Catalogue, Phase, Profile
from catalogue.plan import Plan
from catalogue.week import DayPlan

COLUMNS = 80
DAY = 12
"""Places of a line, and those that a day's name takes."""

CAUTION = (
    "Pain, dizziness, chest pain or unusual breathlessness end the work. "
    "A coach or a clinician knows better than any program."
)


def week_text(catalogue: Catalogue, profile: Profile, days: Sequence[DayPlan]) -> str:
    """Seven days, each with its main movements or the reason why there are none."""
    lines = lines_of(profile.language)
    count = sum(one.plan is not None for one in days)
    training = f"{counted(count, 'day')} of training"
    title = f"{profile.athlete}, the week from {_date(days[0].day)}: {training}"
    text = [*wrap(clean(title), COLUMNS), ""]
    for one in days:
        if one.plan is not None:
            told = [f"About {_minutes(one.plan)} minutes", *_main(catalogue, profile, one.plan)]
        else:
            told = [sentence(lines, one.reason) if one.reason else "Nothing can be trained."]
        wrapped = [line for each in told for line in wrap(clean(each), COLUMNS - DAY)]
        when = date.fromordinal(one.day)
        name = f"{when:%a} {when.day:2d} {when:%b}"
        for number, line in enumerate(wrapped):
            text.append(" " * DAY + line if number else name + " " * (DAY - width(name)) + line)
    return "\n".join([*text, "", *wrap(CAUTION, COLUMNS)])


def week_calendar(
    catalogue: Catalogue,
    profile: Profile,
    days: Sequence[DayPlan],
    now: datetime,
    at: time | None = None,
    program: str = "",
) -> bytes:
    """The training days as an iCalendar file.

    Events begin at `at` by whatever clock the reader has (floating time), or take the whole day
    where it is None. The same day of the same athlete keeps its event: a newer file replaces it.
    `now` is a moment that knows its time zone.
    """
    calendar = Calendar()
    calendar.add("prodid", f"-//cuewalk//cuewalk {program}//EN")
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    for one in days:
        if one.plan is None:
            continue
        event = Event()
        event.add("uid", str(uuid5(NAMESPACE_URL, f"cuewalk:{profile.athlete}:{one.day}")))
        event.add("dtstamp", now)
        start = date.fromordinal(one.day)
        if at is None:
            event.add("dtstart", start)
            event.add("dtend", start + timedelta(days=1))
            event.add("transp", "TRANSPARENT")
        else:
            event.add("dtstart", datetime.combine(start, at))
            event.add("duration", timedelta(minutes=_minutes(one.plan)))
        event.add("summary", f"Training: {', '.join(_skills(catalogue, one.plan))}")
        told = [
            f"About {_minutes(one.plan)} minutes.",
            *_main(catalogue, profile, one.plan),
            CAUTION,
        ]
        event.add("description", "\n".join(told))
        calendar.add_component(event)
    return bytes(calendar.to_ical())


def _main(catalogue: Catalogue, profile: Profile, plan: Plan) -> Iterator[str]:
    """The main movements with how much of each; what is round them is counted."""
    lines = lines_of(profile.language)
    for block in plan.blocks:
        movement = catalogue.movements[block.movement]
        if block.phase is Phase.MAIN and movement.skill is not None:
            skill = catalogue.skills[movement.skill].name
            yield f"{skill}: {movement.name}. {lines.render(dose(block, movement))}"


def _skills(catalogue: Catalogue, plan: Plan) -> list[str]:
    movements = [catalogue.movements[b.movement] for b in plan.blocks if b.phase is Phase.MAIN]
    return list(dict.fromkeys(catalogue.skills[m.skill].name for m in movements if m.skill))


def _minutes(plan: Plan) -> int:
    return max(1, round(plan.seconds / 60))


def _date(ordinal: int) -> str:
    when = date.fromordinal(ordinal)
    return f"{when:%A} {when.day} {when:%B} {when.year}"
