"""`cuewalk squad`: who of many athletes is stuck on what, and who had pain."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from assistant.commands.options import CatalogueOption
from assistant.commands.report import write_page
from assistant.counted import counted
from assistant.files import read_catalogue
from assistant.report.words import lines_of

LEFT_OUT = 2


def squad(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="It holds the athletes' JSON exports.")
    ],
    to: Annotated[
        str | None,
        typer.Option("--to", metavar="FILE", help="Write a page (HTML); - is the screen."),
    ] = None,
    catalogue: CatalogueOption = None,
) -> None:
    """Read many athletes' exports: who is stuck, who had pain.

    It tells what blocks most, too. Each athlete exports with: cuewalk export --format json
    --to NAME.json. The same athlete may have several exports; different ones of one name are told
    apart by their files.

    Example: cuewalk squad exports --to squad.html
    """
    # The database takes its time to load: no other command has to wait for it.
    from assistant.report.squad.findings import LATELY, find
    from assistant.report.squad.page import squad_page
    from assistant.report.squad.reading import read_squad
    from assistant.report.squad.text import squad_text

    read = read_squad(folder, read_catalogue(catalogue), date.today(), LATELY)
    found = find(read)
    lines = lines_of("en")
    if to is None:
        typer.echo(squad_text(found, lines))
    else:
        write_page(squad_page(found, lines), to, counted(len(found.athletes), "athlete"))
    for sentence in read.left_out:
        print(f"cuewalk: {sentence}", file=sys.stderr)
    if read.left_out:
        raise typer.Exit(LEFT_OUT)
