"""`cuewalk rehearse`: a whole session with a simulated athlete, as a timed script."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import Annotated

import typer

from assistant.athletes import ATHLETES
from assistant.commands.options import (
    CatalogueOption,
    LanguageOption,
    MinutesOption,
    ProfileOption,
    material,
)
from assistant.commands.values import whole
from assistant.errors import InputError
from assistant.preparing import new_setting
from assistant.rehearsal import rehearse

EPILOG = "\b\nNAME is one of:\n" + "\n".join(
    f"  {name:<13} {(answer.__doc__ or '').splitlines()[0]}" for name, answer in ATHLETES.items()
)
"""The athletes for the end of the help; \\b keeps its lines as they are."""


def rehearse_command(
    athlete: Annotated[
        str, typer.Option("--athlete", metavar="NAME", help="Who trains: one of those below.")
    ] = "steady",
    seed: Annotated[
        int,
        typer.Option(
            "--seed", metavar="N", parser=whole("--seed"), help="Another one, another run of luck."
        ),
    ] = 0,
    catalogue: CatalogueOption = None,
    profile: ProfileOption = None,
    minutes: MinutesOption = None,
    language: LanguageOption = None,
) -> None:
    """Print a session as it would go, faster than real time.

    Nothing is put on record. Most athletes answer alike before the work, and differ once it has
    begun.

    Example: cuewalk rehearse --athlete falls
    """
    if athlete not in ATHLETES:
        known = ", ".join(ATHLETES)
        raise InputError(
            f"There is no athlete {athlete!r} to rehearse with; choose one of: {known}."
        )
    things = material(catalogue, profile, language)
    now = datetime.now().astimezone()
    setting = new_setting(things.catalogue, things.profile, None, now, minutes)
    setting = replace(setting, seed=seed)
    done = rehearse(setting, ATHLETES[athlete], things.coach.render, things.coach.understand, seed)
    words = things.coach.lines
    for moment in done.script:
        minute, second = divmod(moment.at, 60)
        who = "*" if moment.who == "mark" else f"{words.word(f'who_{moment.who}')}:"
        typer.echo(f"{int(minute):3d}:{second:04.1f}  {who:<8} {moment.text}")
    minute, second = divmod(done.state.at, 60)
    typer.echo(f"{int(minute):3d}:{second:04.1f}  ended: {done.ended or 'not at all'}")
