"""`cuewalk export`: the record for the coach, as CSV or JSON."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from assistant.commands.options import RecordOption, open_record
from assistant.commands.values import whole
from assistant.counted import counted
from assistant.record.export import export, to_csv, to_json


class Format(StrEnum):
    CSV = "csv"
    JSON = "json"


def export_command(
    format: Annotated[
        Format, typer.Option("--format", "-f", help="csv is for a spreadsheet.")
    ] = Format.CSV,
    session: Annotated[
        int | None,
        typer.Option(
            "--session", metavar="N", parser=whole("--session"), help="One session; else all."
        ),
    ] = None,
    to: Annotated[
        Path | None, typer.Option("--to", metavar="FILE", help="A file; else the screen.")
    ] = None,
    record: RecordOption = None,
) -> None:
    """Write the record for a coach or a spreadsheet.

    Example: cuewalk export --format json --to robin.json
    """
    with open_record(record, read_only=True) as store:
        exported = export(store, session)
    text = to_csv(exported) if format is Format.CSV else to_json(exported)
    if to is None:
        typer.echo(text, nl=False)
    else:
        to.write_text(text, encoding="utf-8", newline="")
        typer.echo(f"{to}: {counted(len(exported.sessions), 'session')}")
