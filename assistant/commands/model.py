"""`cuewalk model`: fetch a Vosk model once, at set-up."""

from __future__ import annotations

import typer

from assistant.hearing.model_fetch import fetch_command

app = typer.Typer(help="Models for the Vosk recogniser.", no_args_is_help=True)
app.command("fetch")(fetch_command)
