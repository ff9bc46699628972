"""`cuewalk model`: fetch a Vosk model once, at set-up."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

app = typer.Typer(help="Models for the Vosk recogniser.", no_args_is_help=True)


@app.callback()
def _models() -> None: ...


@app.command()
def fetch(
    to: Annotated[
        Path | None,
        typer.Option("--to", metavar="FOLDER", help="A folder; else the usual one for models."),
    ] = None,
) -> None:
    """Fetch the small English model (41 MB) and check it.

    It is put where the engine vosk finds it, which hears where moonshine can not be installed, or
    where it is asked for. This is the only command that uses the network.

    Example: cuewalk model fetch
    """
    from assistant.hearing.model_fetch import fetch_small_english
    from assistant.hearing.vosk_model import models_folder

    folder = to or models_folder()

    last = [-1]

    def progress(done: int, whole: int) -> None:
        percent = 100 * done // max(1, whole)
        if percent != last[0]:
            last[0] = percent
            bar = "#" * (percent // 4)
            typer.echo(f"\r{percent:3d}% [{bar:<25}]", nl=False, err=True)

    model = fetch_small_english(folder, progress)
    typer.echo("", err=True)
    typer.echo(f"{model} is ready; hear with it by: cuewalk train --engine vosk")
