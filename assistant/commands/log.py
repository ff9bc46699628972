"""`cuewalk log`: the last session as a table."""

from __future__ import annotations

from typing import Annotated

import typer

from assistant.commands.options import CatalogueOption, RecordOption, open_record
from assistant.commands.values import whole
from assistant.errors import InputError
from assistant.files import read_catalogue
from assistant.record.table import session_text


def log(
    session: Annotated[
        int | None,
        typer.Argument(
            metavar="N",
            parser=whole("The session"),
            help="A session's number; else the last.",
            show_default=False,
        ),
    ] = None,
    record: RecordOption = None,
    catalogue: CatalogueOption = None,
) -> None:
    """Show a session on record, the last one if none is named.

    Example: cuewalk log 12
    """
    with open_record(record, read_only=True) as store:
        infos = store.sessions()
        if not infos:
            raise InputError("Nothing is on record yet: train first, with cuewalk train.")
        chosen = next((i for i in infos if i.id == session), None) if session else infos[-1]
        if chosen is None:
            raise InputError(f"There is no session {session}; the last one is {infos[-1].id}.")
        names = {m.id: m.name for m in read_catalogue(catalogue).movements.values()}
        typer.echo(session_text(chosen, store.facts(chosen.id), store.length(chosen.id), names))
