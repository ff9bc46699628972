"""`cuewalk phrases`: the list of what can be said."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from assistant.commands.options import CatalogueOption, LanguageOption, material
from assistant.language import phrase_list


def phrases(
    to: Annotated[
        Path | None, typer.Option("--to", metavar="FILE", help="A file; else the screen.")
    ] = None,
    catalogue: CatalogueOption = None,
    language: LanguageOption = None,
) -> None:
    """List what can be said, and when, as Markdown.

    Example: cuewalk phrases --catalogue my-skills --to phrases.md
    """
    things = material(catalogue, None, language)
    text = phrase_list(things.catalogue, things.profile.language)
    if to is None:
        typer.echo(text, nl=False)
    else:
        to.write_text(text, encoding="utf-8")
        typer.echo(f"{to}: what can be said")
