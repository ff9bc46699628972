"""Which recogniser hears, and why."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from assistant.errors import HearingError
from assistant.hearing.port import Recogniser

ENGINES = ("vosk", "pocketsphinx")
FETCH = "fetch a Vosk model once with: cuewalk model fetch"


@dataclass(frozen=True)
class Choice:
    """A recogniser not yet opened, and the sentence that tells why it was chosen."""

    name: str
    why: str
    open: Callable[[], Recogniser]


def choose_recogniser(
    engine: str | None = None,
    model: Path | None = None,
    environ: Mapping[str, str] = os.environ,
    language: str = "en",
    bend: float = 1.0,
) -> Choice:
    """Vosk where a model of the language is there, else PocketSphinx (English only), adapted to
    the athlete's voice by the `bend` of a reading.

    Raises HearingError where the engine asked for can not be used.
    """
    if engine is not None and engine not in ENGINES:
        raise HearingError(f"There is no recogniser {engine!r}; choose vosk or pocketsphinx.")
    if engine != "pocketsphinx":
        from assistant.hearing.vosk_model import find_model

        found = find_model(model, environ, language)
        if found is not None:
            why = f"recogniser: vosk, with the model {found}"
            return Choice("vosk", why, _vosk(found, language))
        if engine == "vosk" and language == "en":
            raise HearingError(f"No Vosk model for language {language!r} is here; {FETCH}.")
    if language != "en":
        raise HearingError(
            f"PocketSphinx hears English only, and there is no Vosk model for {language!r} here; "
            f"give one with --model FOLDER, or install the package vosk-model-{language} where "
            "there is one."
        )
    asked = "as asked for" if engine else f"as no Vosk model is here; to hear better, {FETCH}"
    return Choice(
        "pocketsphinx", f"recogniser: pocketsphinx with its own model, {asked}", _sphinx(bend)
    )


def _sphinx(bend: float) -> Callable[[], Recogniser]:
    def open_sphinx() -> Recogniser:
        from assistant.hearing.adaptation import Adapted
        from assistant.hearing.pocketsphinx_engine import PocketsphinxRecogniser

        return PocketsphinxRecogniser(adapted=Adapted(bend))

    return open_sphinx


def _vosk(model: Path, language: str) -> Callable[[], Recogniser]:
    def open_vosk() -> Recogniser:
        from assistant.hearing.vosk_engine import VoskRecogniser

        return VoskRecogniser(model, language=language)

    return open_vosk
