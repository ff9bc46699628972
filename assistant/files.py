"""The catalogue's and the profile's files: the only place where they are read from disk."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from functools import cache
from importlib import resources
from pathlib import Path

from assistant.errors import InputError
from assistant.profile_file import default_profile_path
from catalogue.load import FILES, load_catalogue
from catalogue.model import Catalogue, Profile
from catalogue.parse import BYTES
from catalogue.problems import CatalogueProblems
from catalogue.profile import default_profile, load_profile
from catalogue.translation import Translated, translated

ALTOGETHER = 4 << 20
"""Characters of all files of a catalogue together; the built-in one has a sixtieth of that."""

LOOKED_AT = 5_000
"""Names in a folder that are looked at before it is taken for something else."""


def builtin_sources() -> dict[str, str]:
    """The files of the catalogue that comes with the program: name and TOML text."""
    folder = resources.files("catalogue") / "data"
    return {
        entry.name: entry.read_text(encoding="utf-8")
        for entry in sorted(folder.iterdir(), key=lambda entry: entry.name)
        if entry.name.endswith(".toml")
    }


@cache
def builtin_catalogue() -> Catalogue:
    """The catalogue that comes with the program."""
    return load_catalogue(builtin_sources())


def read_folder(folder: Path) -> dict[str, str]:
    """The TOML files in a folder and the folders in it: their names from there, and their texts.

    Hidden files are left out. Raises InputError where the folder or a file can not be read, is
    too large, is not UTF-8, or is a link to something outside the folder.
    """
    try:
        base = folder.resolve()
        if not base.exists():
            raise InputError(f"There is no folder {folder}; check the path")
        if not base.is_dir():
            raise InputError(f"{folder} is not a folder; give the folder that holds the TOML files")
        return _sources(folder, base)
    except (OSError, RuntimeError) as error:  # RuntimeError: links that lead in a circle
        raise InputError(f"{folder} can not be read ({_why(error)}); check the path") from error


def read_catalogue(folder: Path | None) -> Catalogue:
    """The coach's catalogue in a folder, or the built-in one.

    Raises InputError where files can not be read, CatalogueProblems where they are wrong.
    """
    return builtin_catalogue() if folder is None else load_catalogue(read_folder(folder))


def read_translated(folder: Path | None, catalogue: Catalogue, language: str) -> Translated:
    """A catalogue with the texts that its folder (the built-in one's, if None) has for a language.

    Raises InputError where files can not be read, CatalogueProblems where they are wrong.
    """
    sources = _builtin_translation(language) if folder is None else read_folder(folder)
    return translated(catalogue, sources, language)


@cache
def _builtin_translation(language: str) -> Mapping[str, str]:
    folder = resources.files("catalogue") / "data" / language
    if not (language.isalpha() and folder.is_dir()):
        return {}
    return {
        f"{language}/{entry.name}": entry.read_text(encoding="utf-8")
        for entry in sorted(folder.iterdir(), key=lambda entry: entry.name)
        if entry.name.endswith(".toml")
    }


def read_profile(
    path: Path | None, catalogue: Catalogue, environ: Mapping[str, str] = os.environ
) -> Profile:
    """The athlete's profile: the file that is named, else their own, else a beginner's.

    Raises InputError where the file can not be read, CatalogueProblems where it is wrong.
    """
    if path is None:
        return own_profile(catalogue, environ) or default_profile(catalogue)
    return load_profile(_text(path, str(path)), str(path), catalogue)


def own_profile(catalogue: Catalogue, environ: Mapping[str, str] = os.environ) -> Profile | None:
    """The profile that `cuewalk begin` wrote, or None where there is none yet.

    One that is right for the built-in catalogue goes with a coach's too: skills and equipment that
    are not there are passed over. Raises InputError, CatalogueProblems.
    """
    path = default_profile_path(environ)
    if not path.exists():
        return None
    text = _text(path, str(path))
    try:
        return load_profile(text, str(path), catalogue)
    except CatalogueProblems:
        if catalogue is builtin_catalogue():
            raise
        try:
            own = load_profile(text, str(path), builtin_catalogue())
        except CatalogueProblems:
            own = None
        if own is None:
            raise
    levels = {skill: level for skill, level in own.levels.items() if skill in catalogue.skills}
    equipment = tuple(item for item in own.equipment if item in catalogue.equipment)
    return own.model_copy(update={"levels": levels, "equipment": equipment})


def _sources(folder: Path, base: Path) -> dict[str, str]:
    sources: dict[str, str] = {}
    size = 0
    for path in _toml_files(folder, base):
        name = path.relative_to(base).as_posix()
        if not path.resolve().is_relative_to(base):
            raise InputError(f"{folder / name} is a link to outside the folder; copy the file")
        if len(sources) == FILES:
            raise InputError(f"{folder} has over {FILES} TOML files; join some")
        sources[name] = _text(path, str(folder / name))
        size += len(sources[name])
        if size > ALTOGETHER:
            raise InputError(
                f"{folder} has TOML files of over {ALTOGETHER:,} characters together; make two "
                "catalogues of it"
            )
    if not sources:
        raise InputError(f"{folder} has no file that ends in .toml; give the catalogue's folder")
    return sources


def _toml_files(folder: Path, base: Path) -> Iterator[Path]:
    """The files in order of their names; folders that are links are not entered."""
    seen = 0
    for at, folders, files in os.walk(base, onerror=_raise):
        seen += len(folders) + len(files)
        if seen > LOOKED_AT:
            raise InputError(f"{folder} holds over {LOOKED_AT:,} files; give the catalogue's own")
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(files):
            if name.endswith(".toml") and not name.startswith("."):
                yield Path(at, name)


def _raise(error: OSError) -> None:
    raise error


def _text(path: Path, shown: str) -> str:
    """A file's text. `shown` is the path as the user knows it."""
    try:
        if not path.is_file():
            what = "is not a file" if path.exists() else "does not exist"
            raise InputError(f"{shown} {what}; check the path")
        with path.open("rb") as file:
            read = file.read(BYTES + 1)
    except (OSError, ValueError) as error:  # ValueError: a path with a null character
        raise InputError(f"{shown} can not be read ({_why(error)}); check the path") from error
    if len(read) > BYTES:
        raise InputError(f"{shown} is larger than {BYTES:,} bytes; split it")
    try:
        return read.decode("utf-8")
    except UnicodeDecodeError as error:
        line = read.count(b"\n", 0, error.start) + 1
        raise InputError(
            f"{shown}:{line}: this is not UTF-8 text; save the file as UTF-8"
        ) from None


def _why(error: Exception) -> str:
    reason = error.strerror if isinstance(error, OSError) else None
    return (reason or str(error)).lower()
