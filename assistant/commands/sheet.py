"""`cuewalk sheet`: the planned session on one page of paper."""

from __future__ import annotations

from datetime import date, datetime
from typing import Annotated

import typer

from assistant.commands.options import (
    CatalogueOption,
    MinutesOption,
    ProfileOption,
    RecordOption,
)
from assistant.commands.report import AthleteOption, write_page
from assistant.counted import counted
from assistant.errors import InputError
from assistant.files import read_catalogue
from assistant.preparing import new_setting
from assistant.report.sheet import sheet_page
from assistant.report.whose import opened, whose


def sheet(
    to: Annotated[
        str,
        typer.Option(
            "--to",
            metavar="FILE",
            show_default=False,
            help="A file, else cuewalk-sheet.html; - is the screen.",
        ),
    ] = "cuewalk-sheet.html",
    day: Annotated[
        str | None, typer.Option("--day", metavar="DAY", help="The day, as 2026-03-31; else today.")
    ] = None,
    athlete: AthleteOption = None,
    minutes: MinutesOption = None,
    record: RecordOption = None,
    catalogue: CatalogueOption = None,
    profile: ProfileOption = None,
) -> None:
    """Write today's session on one page, to print and tick off.

    It is the session that cuewalk train would lead.

    Example: cuewalk sheet --profile robin.toml --minutes 40 --to today.html
    """
    from assistant.commands.app import program_version

    when = day_of(day)
    made = read_catalogue(catalogue)
    store = opened(record)
    if store is None:
        who = whose((), made, profile, athlete)
        setting = new_setting(made, who, None, when, minutes)
    else:
        with store:
            who = whose(store.sessions(), made, profile, athlete)
            setting = new_setting(made, who, store, when, minutes)
    text = sheet_page(made, who, setting.plan, when.toordinal(), program_version())
    write_page(text, to, f"{counted(len(setting.plan.blocks), 'movement')} for {who.athlete}")


def day_of(text: str | None) -> datetime:
    """A day as written on the command line, or today. Raises InputError."""
    if text is None:
        return datetime.now().astimezone()
    try:
        named = date.fromisoformat(text)
    except ValueError:
        raise InputError(f"{text!r} is no day; write it as 2026-03-31.") from None
    return datetime(named.year, named.month, named.day).astimezone()
