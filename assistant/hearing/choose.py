"""Which recogniser hears, and why: a table of the engines, best first."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from assistant.errors import HearingError
from assistant.hearing.port import Recogniser

NO_NET = (
    "The network of moonshine is not here; install it with: pip install 'moonshine-voice<=0.1.0' "
    "onnxruntime."
)
FETCH = "fetch a Vosk model once with: cuewalk model fetch"


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


@dataclass(frozen=True)
class Engine:
    """One way to hear.

    `find` gives its recogniser, or the sentence why it can not hear here. It raises HearingError
    where what was given for it is wrong, and imports the engine only in `Choice.open`. Where no
    engine is asked for, only those count that are `unasked`.
    """

    find: Callable[[Wanted], Choice | str]
    unasked: bool = True


def choose_recogniser(
    engine: str | None = None,
    model: Path | None = None,
    environ: Mapping[str, str] = os.environ,
    language: str = "en",
    bend: float = 1.0,
) -> Choice:
    """The engine asked for, or the first that can hear the language here: Vosk where a model of it
    is, else PocketSphinx (English only), adapted to the athlete's voice by the `bend` of a reading.

    Raises HearingError where there is none.
    """
    if engine is not None and engine not in ENGINES:
        raise HearingError(f"There is no recogniser {engine!r}; choose {' or '.join(ENGINES)}.")
    wanted = Wanted(engine, model, environ, language, bend)
    against = ""
    for name, one in ENGINES.items():
        if name == engine or (engine is None and one.unasked):
            found = one.find(wanted)
            if isinstance(found, Choice):
                return found
            against = found
    raise HearingError(against)


def _vosk(wanted: Wanted) -> Choice | str:
    from assistant.hearing.vosk_model import find_model

    language = wanted.language
    model = find_model(wanted.model, wanted.environ, language)
    if model is None:
        if language != "en":
            return _unheard(language)
        return f"No Vosk model for language {language!r} is here; {FETCH}."

    def open_vosk() -> Recogniser:
        from assistant.hearing.vosk_engine import VoskRecogniser

        return VoskRecogniser(model, language=language)

    return Choice("vosk", f"recogniser: vosk, with the model {model}", open_vosk)


def _pocketsphinx(wanted: Wanted) -> Choice | str:
    if wanted.language != "en":
        return _unheard(wanted.language)

    def open_sphinx() -> Recogniser:
        from assistant.hearing.adaptation import Adapted
        from assistant.hearing.pocketsphinx_engine import PocketsphinxRecogniser

        return PocketsphinxRecogniser(adapted=Adapted(wanted.bend))

    why = "as asked for" if wanted.engine else f"as no Vosk model is here; to hear better, {FETCH}"
    return Choice(
        "pocketsphinx", f"recogniser: pocketsphinx with its own model, {why}", open_sphinx
    )


def _moonshine(wanted: Wanted) -> Choice | str:
    from assistant.hearing.moonshine_net import find_net

    if wanted.language != "en":
        return _unheard(wanted.language)
    folder = find_net()
    if folder is None:
        return NO_NET

    def open_moonshine() -> Recogniser:
        from assistant.hearing.adaptation import Adapted
        from assistant.hearing.moonshine_engine import MoonshineRecogniser

        return MoonshineRecogniser(folder, adapted=Adapted(wanted.bend))

    return Choice("moonshine", "recogniser: moonshine, beside pocketsphinx", open_moonshine)


def _unheard(language: str) -> str:
    return (
        f"PocketSphinx hears English only, and there is no Vosk model for {language!r} here; "
        f"give one with --model FOLDER, or install the package vosk-model-{language} where there "
        "is one."
    )


ENGINES: Mapping[str, Engine] = {
    "moonshine": Engine(_moonshine),
    "vosk": Engine(_vosk),
    "pocketsphinx": Engine(_pocketsphinx),
}
"""By the name that `--engine` takes, best first."""
