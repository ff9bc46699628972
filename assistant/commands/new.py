"""`cuewalk new`: files to begin with, for a coach's own catalogue and for an athlete's profile."""

from __future__ import annotations

import shlex
from importlib import resources
from pathlib import Path
from typing import Annotated

import typer

from assistant.commands.options import CatalogueOption
from assistant.errors import InputError
from assistant.files import read_catalogue
from assistant.first_run.answers import LONGEST_NAME
from assistant.profile_file import profile_text, write_new
from catalogue.profile import UNNAMED, default_profile

app = typer.Typer(help="Files to begin with: a catalogue, a profile.", no_args_is_help=True)


@app.command()
def catalogue(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="One that is not there yet, or empty.")
    ],
) -> None:
    """Write a small catalogue with comments, ready to be changed.

    Example: cuewalk new catalogue my-skills
    """
    files = starter()
    _check_free(folder)
    for name, text in files.items():
        write_new(folder / name, text)
        typer.echo(str(folder / name))
    shown = shlex.quote(str(folder))
    typer.echo(f"Change them as you like; then: cuewalk check --catalogue {shown}")


@app.command()
def profile(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="One that is not there yet.")],
    name: Annotated[str, typer.Option("--name", metavar="NAME", help="Who trains.")] = UNNAMED,
    catalogue: CatalogueOption = None,
) -> None:
    """Write a profile with comments, ready to be changed.

    To be asked instead: cuewalk begin.

    Example: cuewalk new profile robin.toml --name Robin
    """
    if not 0 < len(name) <= LONGEST_NAME or not name.isprintable():
        raise InputError(f"--name takes a name of up to {LONGEST_NAME} letters, not {name!r}.")
    made = read_catalogue(catalogue)
    write_new(file, profile_text(default_profile(made, name), made))
    words = ["cuewalk", "check", "--profile", str(file)]
    words += ["--catalogue", str(catalogue)] if catalogue is not None else []
    typer.echo(f"{file}: change it as you like; then: {shlex.join(words)}")


def starter() -> dict[str, str]:
    """The files of a new catalogue: name and text."""
    folder = resources.files("assistant.starter") / "catalogue"
    return {
        entry.name: entry.read_text(encoding="utf-8")
        for entry in sorted(folder.iterdir(), key=lambda entry: entry.name)
        if entry.name.endswith(".toml")
    }


def _check_free(folder: Path) -> None:
    """All TOML files of its folder are a catalogue's, so nothing but hidden files may be there."""
    if folder.exists() and not folder.is_dir():
        raise InputError(f"{folder} is a file; name a new folder.")
    there = sorted(p.name for p in folder.iterdir() if p.name[0] != ".") if folder.is_dir() else []
    if there:
        raise InputError(
            f"{folder} has {there[0]} in it already, and nothing was written; name a new folder."
        )
