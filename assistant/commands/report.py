"""`cuewalk report`: one page on an athlete's training."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from assistant.commands.options import CatalogueOption, ProfileOption, RecordOption
from assistant.counted import counted
from assistant.errors import InputError
from assistant.files import read_catalogue
from assistant.report.past import read_past
from assistant.report.report import report_page
from assistant.report.whose import NOTHING, opened, whose

AthleteOption = Annotated[
    str | None,
    typer.Option("--athlete", metavar="NAME", help="Whose, where the record has several."),
]


def report(
    to: Annotated[
        str,
        typer.Option(
            "--to",
            metavar="FILE",
            show_default=False,
            help="A file, else cuewalk-report.html; - is the screen.",
        ),
    ] = "cuewalk-report.html",
    athlete: AthleteOption = None,
    record: RecordOption = None,
    catalogue: CatalogueOption = None,
    profile: ProfileOption = None,
) -> None:
    """Write a report that opens offline in any browser.

    Example: cuewalk report --to robin.html
    """
    from assistant.commands.app import program_version

    made = read_catalogue(catalogue)
    store = opened(record)
    if store is None:
        raise InputError(NOTHING)
    with store:
        sessions = store.sessions()
        if not sessions:
            raise InputError(NOTHING)
        who = whose(sessions, made, profile, athlete)
        past = read_past(store, sessions, who.athlete)
    text = report_page(made, who, past, date.today().toordinal(), program_version())
    sessions_told = counted(len(past.history.sessions), "session")
    write_page(text, to, f"the training of {who.athlete}, {sessions_told}")


def write_page(text: str, to: str, what: str) -> None:
    """Write a page to a file and say so, or to standard output for "-"."""
    if to == "-":
        typer.echo(text)
        return
    Path(to).write_text(text + "\n", encoding="utf-8")
    typer.echo(f"{to}: {what}")
