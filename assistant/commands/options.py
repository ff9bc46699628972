"""Options that several commands share, and what they stand for."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

from assistant.coach import Coach
from assistant.commands.values import whole
from assistant.files import (
    builtin_sources,
    read_catalogue,
    read_folder,
    read_profile,
    read_translated,
)
from assistant.hearing.choose import ENGINES
from assistant.language import check_language, languages
from assistant.logs import journal, start_log
from assistant.preparing import digest_of
from assistant.record.store import Store
from catalogue.model import Catalogue, Profile

CatalogueOption = Annotated[
    Path | None,
    typer.Option(
        "--catalogue", "-c", metavar="FOLDER", help="The coach's folder; else the built-in one."
    ),
]
ProfileOption = Annotated[
    Path | None,
    typer.Option("--profile", "-p", metavar="FILE", help="The athlete's profile; else your own."),
]
RecordOption = Annotated[
    Path | None,
    typer.Option("--record", metavar="FILE", help="The file of the record; else your own."),
]
EngineOption = Annotated[
    str | None,
    typer.Option("--engine", metavar="NAME", help=f"One of: {', '.join(ENGINES)}; else the best."),
]
ModelOption = Annotated[
    Path | None, typer.Option("--model", metavar="FOLDER", help="A Vosk model, to hear with that.")
]
MinutesOption = Annotated[
    int | None,
    typer.Option(
        "--minutes",
        metavar="N",
        parser=whole("--minutes", 5, 120),
        help="Time there is, 5 to 120; else the profile's.",
    ),
]
MicrophoneOption = Annotated[
    str | None,
    typer.Option(
        "--microphone", metavar="DEVICE", help="A number or name that cuewalk devices lists."
    ),
]

LanguageOption = Annotated[
    str | None,
    typer.Option(
        "--language",
        metavar="CODE",
        help=f"One of: {', '.join(languages())}; else the profile's.",
    ),
]


def _begin_log(wanted: bool) -> None:
    from assistant.commands.app import program_version

    # The option stands before or after the command's name, or in both places.
    if wanted and not journal.handlers:
        file = start_log(program_version())
        print(f"cuewalk: What happens is logged in {file}", file=sys.stderr)


VerboseOption = Annotated[
    bool,
    typer.Option(
        "--verbose", callback=_begin_log, help="Log what happens, words included, in a file."
    ),
]


@dataclass(frozen=True)
class Material:
    """What a session is made from."""

    catalogue: Catalogue
    profile: Profile
    digest: str
    coach: Coach


def material(catalogue: Path | None, profile: Path | None, language: str | None = None) -> Material:
    """Read catalogue and profile, in a language (None: the profile's own).

    Raises CatalogueProblems or InputError.
    """
    made = read_catalogue(catalogue)
    who = in_language(read_profile(profile, made), language)
    made = read_translated(catalogue, made, who.language).catalogue
    sources = builtin_sources() if catalogue is None else read_folder(catalogue)
    return Material(made, who, digest_of(sources), Coach.of(made, who.language))


def in_language(profile: Profile, language: str | None) -> Profile:
    """The profile with a language that was asked for. Raises InputError for one unknown."""
    check_language(language or profile.language)
    return profile if language is None else profile.model_copy(update={"language": language})


def open_record(path: Path | None, *, read_only: bool = False) -> Store:
    return Store.open(path, read_only=read_only)
