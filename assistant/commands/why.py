"""`cuewalk why`: the decision on a movement, and the sets behind it."""

from __future__ import annotations

from datetime import date
from typing import Annotated

import typer

from assistant.commands.options import CatalogueOption, ProfileOption, RecordOption
from assistant.commands.report import AthleteOption
from assistant.files import read_catalogue, read_translated
from assistant.record.history import history
from assistant.report.decisions import decided
from assistant.report.whose import opened, whose
from assistant.report.why import named, why_text
from assistant.report.words import lines_of
from catalogue.history import History


def why(
    movement: Annotated[list[str], typer.Argument(metavar="MOVEMENT", help="Its name, or its id.")],
    athlete: AthleteOption = None,
    record: RecordOption = None,
    catalogue: CatalogueOption = None,
    profile: ProfileOption = None,
) -> None:
    """Tell what comes next for a movement, and why.

    With the rule, its source and the sets that it was decided from.

    Example: cuewalk why long plank
    """
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
    one = named(made, " ".join(movement))
    found = decided(made, lines_of(who.language), one, past, date.today().toordinal())
    typer.echo(why_text(found))
