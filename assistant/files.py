"""The catalogue's and the profile's files: the only place where they are read from disk."""

from __future__ import annotations

from functools import cache
from importlib import resources

from catalogue.load import load_catalogue
from catalogue.model import Catalogue


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
