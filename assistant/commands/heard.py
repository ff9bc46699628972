"""`cuewalk heard`: what is heard in recordings, one JSON line for each."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated

import typer

from assistant.commands.options import (
    CatalogueOption,
    EngineOption,
    LanguageOption,
    ModelOption,
    ProfileOption,
    material,
)
from assistant.commands.places import PlaceOption, scope_of_place
from assistant.commands.understand import as_json
from assistant.hearing.choose import choose_recogniser
from assistant.hearing.listener import transcribe
from assistant.hearing.wave import read_wave
from intents.meaning import Meaning, Understanding


def heard(
    files: Annotated[list[Path], typer.Argument(metavar="FILE", help="WAV files.")],
    place: PlaceOption = None,
    engine: EngineOption = None,
    model: ModelOption = None,
    catalogue: CatalogueOption = None,
    profile: ProfileOption = None,
    language: LanguageOption = None,
) -> None:
    """Tell what is said in recordings, and what would be done.

    One line of JSON for each. It hears as a session would: with the profile's language, and what
    cuewalk reading told of the voice.

    Example: cuewalk heard start.wav log.wav
    """
    where = scope_of_place(place)
    things = material(catalogue, profile, language)
    sounds = [(path, read_wave(path)) for path in files]
    who = things.profile
    recogniser = choose_recogniser(engine, model, language=who.language, bend=who.bend).open()
    recogniser.listen_for(things.coach.grammar(where))
    for path, samples in sounds:
        found: list[Understanding] = []
        texts: list[str] = []
        for utterance in transcribe(recogniser, samples):
            if utterance.rejected or not utterance.text:
                continue
            texts.append(utterance.text)
            found.append(things.coach.understand(utterance.text, where, utterance.confidence))
        whole = together(" ".join(texts), found)
        print(json.dumps({"file": str(path), "text": whole.text, **as_json(whole)}), flush=True)
    recogniser.close()


def together(text: str, found: list[Understanding]) -> Understanding:
    """Several utterances of one recording as one: the least certain of those that act counts."""
    counted = [u for u in found if u.decision != "pass"]
    if not counted:
        confidence = min((u.confidence for u in found), default=0.0)
        return Understanding(text, (Meaning("none"),), confidence, "pass")
    meanings = tuple(m for u in counted for m in u.meanings)
    asks = any(u.decision == "confirm" for u in counted)
    return Understanding(
        text, meanings, min(u.confidence for u in counted), "confirm" if asks else "act"
    )
