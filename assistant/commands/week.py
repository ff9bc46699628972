"""`cuewalk week`: seven days ahead, to read or for a calendar."""

from __future__ import annotations

import sys
from datetime import datetime, time
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from assistant.commands.options import CatalogueOption, MinutesOption, ProfileOption, RecordOption
from assistant.commands.report import AthleteOption
from assistant.commands.sheet import day_of
from assistant.commands.values import whole
from assistant.counted import counted
from assistant.errors import InputError
from assistant.files import read_catalogue, read_translated
from assistant.record.history import history
from assistant.report.week import week_calendar, week_text
from assistant.report.whose import opened, whose
from catalogue.conditions import Conditions
from catalogue.history import History
from catalogue.week import DAYS, plan_week


class Format(StrEnum):
    TEXT = "text"
    ICS = "ics"


def week(
    format: Annotated[
        Format, typer.Option("--format", "-f", help="ics is for a calendar.")
    ] = Format.TEXT,
    to: Annotated[
        Path | None, typer.Option("--to", metavar="FILE", help="A file; else the screen.")
    ] = None,
    day: Annotated[
        str | None,
        typer.Option("--day", metavar="DAY", help="The first day, as 2026-03-31; else today."),
    ] = None,
    days: Annotated[
        int | None,
        typer.Option(
            "--days",
            metavar="N",
            parser=whole("--days", 1, DAYS),
            help=f"Days of training, 1 to {DAYS}; else by the levels.",
        ),
    ] = None,
    at: Annotated[
        str | None, typer.Option("--at", metavar="TIME", help="When events begin, as 18:30.")
    ] = None,
    athlete: AthleteOption = None,
    minutes: MinutesOption = None,
    record: RecordOption = None,
    catalogue: CatalogueOption = None,
    profile: ProfileOption = None,
) -> None:
    """Plan the next seven days, with days of rest.

    Examples:

      cuewalk week --profile robin.toml

      cuewalk week --format ics --at 18:30 --to week.ics
    """
    from assistant.commands.app import program_version

    begins = None if at is None else _time(at)
    if begins is not None and format is Format.TEXT:
        raise InputError("--at is for calendars: add --format ics.")
    first = day_of(day).toordinal()
    made = read_catalogue(catalogue)
    past = History()
    store = opened(record)
    if store is None:
        who = whose((), made, profile, athlete)
    else:
        with store:
            who = whose(store.sessions(), made, profile, athlete)
            past = history(store, who.athlete)
    made = read_translated(catalogue, made, who.language).catalogue
    planned = plan_week(made, who, Conditions.of(who), past, first, minutes, days)
    if format is Format.TEXT:
        text = (week_text(made, who, planned) + "\n").encode()
    else:
        now = datetime.now().astimezone()
        text = week_calendar(made, who, planned, now, begins, program_version())
    if to is None:
        typer.echo(text, nl=False)
        sys.stdout.flush()
    else:
        to.write_bytes(text)
        days_told = counted(sum(one.plan is not None for one in planned), "day")
        typer.echo(f"{to}: {days_told} of training")


def _time(text: str) -> time:
    try:
        return time.fromisoformat(text).replace(tzinfo=None)
    except ValueError:
        raise InputError(f"{text!r} is no time of day; write it as 18:30.") from None
