"""`cuewalk schema`: JSON Schemas for editors and for other programs."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from assistant.commands.options import CatalogueOption
from assistant.errors import InputError
from assistant.files import read_catalogue
from assistant.report.schemas import SCHEMAS, as_text


def schema(
    kind: Annotated[
        str | None,
        typer.Argument(
            metavar="KIND", help=f"One of: {', '.join(SCHEMAS)}; else all.", show_default=False
        ),
    ] = None,
    to: Annotated[
        Path | None,
        typer.Option("--to", metavar="FILE", help="A file (for all, a folder); else the screen."),
    ] = None,
    catalogue: CatalogueOption = None,
) -> None:
    """Write the JSON Schema of a kind of file, for an editor.

    With it, an editor completes and checks what is written.

    In a TOML file, the first line "#:schema catalogue.schema.json" names its schema to editors that
    know JSON Schema. A profile's schema offers the skills and the equipment of the catalogue.

    Examples:

      cuewalk schema profile --catalogue my-skills --to profile.schema.json

      cuewalk schema --to my-skills
    """
    if kind is not None and kind not in SCHEMAS:
        raise InputError(f"There is no schema {kind!r}; choose one of: {', '.join(SCHEMAS)}.")
    made = read_catalogue(catalogue)
    if kind is not None:
        text = as_text(SCHEMAS[kind](made))
        if to is None:
            typer.echo(text, nl=False)
        else:
            to.write_text(text, encoding="utf-8")
            typer.echo(f"{to}: the schema of {kind} files")
        return
    if to is None:
        raise InputError(
            f"Name a kind ({', '.join(SCHEMAS)}), or a folder for all of them with --to FOLDER."
        )
    to.mkdir(parents=True, exist_ok=True)
    for name, make in SCHEMAS.items():
        file = to / f"{name}.schema.json"
        file.write_text(as_text(make(made)), encoding="utf-8")
        typer.echo(f"{file}: the schema of {name} files")
