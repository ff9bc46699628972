"""`cuewalk devices`: audio devices, and which recogniser and voice would be used, and why."""

from __future__ import annotations

import typer

from assistant.commands.options import (
    CatalogueOption,
    EngineOption,
    LanguageOption,
    ModelOption,
    ProfileOption,
    material,
)
from assistant.errors import CuewalkError
from assistant.hearing.choose import choose_recogniser
from assistant.hearing.devices import devices_text
from assistant.speaking.choose import voice_text


def devices(
    engine: EngineOption = None,
    model: ModelOption = None,
    catalogue: CatalogueOption = None,
    profile: ProfileOption = None,
    language: LanguageOption = None,
) -> None:
    """List microphones, loudspeakers, recogniser and voice.

    Of the last two, it says which are used, and why.

    Example: cuewalk devices
    """
    things = material(catalogue, profile, language)
    for text in (
        devices_text,
        lambda: choose_recogniser(engine, model, language=things.profile.language).why,
        lambda: voice_text(things.profile.voice, things.profile.language),
    ):
        try:
            typer.echo(text())
        except CuewalkError as error:
            # One part that is missing must not hide the others.
            typer.echo(str(error))
