"""`cuewalk why`: the decision on a movement, and the sets behind it."""

from __future__ import annotations

from datetime import date
from typing import Annotated

import typer

from assistant.commands.options import CatalogueOption, ProfileOption, RecordOption
from assistant.commands.report import AthleteOption
from assistant.errors import InputError
from assistant.files import read_catalogue, read_translated
from assistant.record.history import history
from assistant.report.decisions import decided
from assistant.report.whose import opened, whose
from assistant.report.why import listed, named, why_text
from assistant.report.words import lines_of
from catalogue.history import History


def why(
    movement: Annotated[
        list[str] | None, typer.Argument(metavar="MOVEMENT", help="Its name, or its id.")
    ] = None,
    every: Annotated[
        bool, typer.Option("--list", help="List the names of all movements instead.")
    ] = False,
    athlete: AthleteOption = None,
    record: RecordOption = None,
    catalogue: CatalogueOption = None,
    profile: ProfileOption = None,
) -> None:
    """Tell what comes next for a movement, and why.

    With the rule, its source and the sets that it was decided from.

    Example: cuewalk why long plank
    """
    if not movement and not every:
        raise InputError(
            "Name a movement, as in: cuewalk why long plank. All of them: cuewalk why --list"
        )
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
    if every:
        typer.echo(listed(made))
        return
    one = named(made, " ".join(movement or ()))
    found = decided(made, lines_of(who.language), one, past, date.today().toordinal())
    typer.echo(why_text(found))
