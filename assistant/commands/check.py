"""`cuewalk check`: what is wrong, and what could be better, in catalogue, phrases and profile."""

from __future__ import annotations

from typing import Annotated

import typer

from assistant.checking import check_everything
from assistant.commands.options import (
    CatalogueOption,
    EngineOption,
    LanguageOption,
    ModelOption,
    ProfileOption,
)

FOUND_ERRORS = 2


def check(
    catalogue: CatalogueOption = None,
    profile: ProfileOption = None,
    engine: EngineOption = None,
    model: ModelOption = None,
    language: LanguageOption = None,
    strict: Annotated[bool, typer.Option("--strict", help="Remarks count as errors.")] = False,
) -> None:
    """Check catalogue, phrases and profile, and say what to mend.

    Example: cuewalk check --catalogue my-skills --profile robin.toml
    """
    found = check_everything(catalogue, profile, engine, model, language)
    for line in found.errors:
        typer.echo(line)
    for line in found.remarks:
        typer.echo(line)
    typer.echo(found.summary)
    if found.errors or (strict and found.remarks):
        raise typer.Exit(FOUND_ERRORS)
