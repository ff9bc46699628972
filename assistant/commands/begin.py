"""`cuewalk begin`: from nothing to a profile and a first session, in a few questions."""

from __future__ import annotations

import shlex
import sys
from contextlib import closing
from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

from assistant.clock import SessionClock
from assistant.coach import Coach
from assistant.commands.options import CatalogueOption, RecordOption
from assistant.errors import CuewalkError
from assistant.files import read_catalogue, read_translated
from assistant.first_run.answers import Answers
from assistant.first_run.asking import Asker
from assistant.first_run.first_session import First, first_session
from assistant.first_run.questions import accepted, ask_aches, ask_health, ask_profile
from assistant.first_run.screening import Screening, advice
from assistant.hearing.choose import choose_recogniser
from assistant.hearing.devices import has_microphone
from assistant.hearing.microphone import Microphone
from assistant.language import language_text, languages
from assistant.level_check import ASKED, hear_word
from assistant.profile_file import default_profile_path, profile_text, write_new
from assistant.record.history import history
from assistant.report.whose import opened
from catalogue.history import History
from intents.lines import Line, Lines

NOT_ACCEPTED = 1


def begin(
    name: Annotated[
        str | None, typer.Option("--name", metavar="NAME", help="What to call you.")
    ] = None,
    levels: Annotated[
        str | None,
        typer.Option("--levels", metavar="TEXT", help='As in: "beginner, balance intermediate".'),
    ] = None,
    equipment: Annotated[
        str | None, typer.Option("--equipment", metavar="TEXT", help='As in: "pipe, mat"; or none.')
    ] = None,
    space: Annotated[
        str | None,
        typer.Option("--space", metavar="METRES", help="Clear floor, as in: 3, or 10 feet."),
    ] = None,
    minutes: Annotated[
        str | None, typer.Option("--minutes", metavar="N", help="Minutes of a session, 5 to 120.")
    ] = None,
    aches: Annotated[
        str | None,
        typer.Option(
            "--aches", metavar="TEXT", help='What aches today, 0 to 10: "wrist 3"; or no.'
        ),
    ] = None,
    active: Annotated[
        str | None,
        typer.Option(
            "--active", metavar="yes|no", help="You trained 3 days a week for the last 3 months."
        ),
    ] = None,
    condition: Annotated[
        str | None,
        typer.Option(
            "--condition",
            metavar="yes|no",
            help="A disease of heart, vessels or kidneys, or diabetes.",
        ),
    ] = None,
    symptoms: Annotated[
        str | None,
        typer.Option(
            "--symptoms",
            metavar="yes|no",
            help="Signs to ask a clinician about; listed when asked.",
        ),
    ] = None,
    intensity: Annotated[
        str | None,
        typer.Option("--intensity", metavar="HOW", help="How hard: light, moderate or hard."),
    ] = None,
    accept: Annotated[
        str | None,
        typer.Option(
            "--accept", metavar="yes|no", help="You have read the cautions and will keep to them."
        ),
    ] = None,
    microphone: Annotated[
        str | None,
        typer.Option(
            "--microphone", metavar="yes|no", help="Listen to your microphone for a moment."
        ),
    ] = None,
    to: Annotated[
        Path | None,
        typer.Option("--to", metavar="FILE", help="Where the profile goes; else your own."),
    ] = None,
    replace: Annotated[
        bool, typer.Option("--replace", help="Replace a profile without asking.")
    ] = False,
    catalogue: CatalogueOption = None,
    record: RecordOption = None,
    language: Annotated[
        str, typer.Option("--language", metavar="CODE", help=f"One of: {', '.join(languages())}.")
    ] = "en",
) -> None:
    """Ask a few questions, and write your profile.

    It asks who trains, with what and how far they are, and tells the first session. Answers given
    as options are not asked for.

    Examples:

      cuewalk begin

      cuewalk begin --name Robin --levels beginner --equipment "pipe, mat"
    """
    lines = begin_lines(language)
    made = read_translated(catalogue, read_catalogue(catalogue), language).catalogue
    read = Answers(made, Coach.of(made, lines.language), lines)
    asker = Asker(lines, sys.stdin, sys.stdout)
    given = {
        "name": name, "levels": levels, "equipment": equipment, "space": space,
        "minutes": minutes, "aches": aches, "active": active, "condition": condition,
        "symptoms": symptoms, "intensity": intensity, "accept": accept,
    }  # fmt: skip
    file = to or default_profile_path()
    there = file.exists()
    if there and not replace and not _may_replace(asker, read, file):
        return
    asker.say(Line("begin.hello"))
    profile = ask_profile(asker, read, given, made)
    aching = ask_aches(asker, read, given)
    health = ask_health(asker, read, given)
    if not accepted(asker, read, given, health):
        asker.say(Line("begin.not_accepted"))
        raise typer.Exit(NOT_ACCEPTED)
    write_new(file, profile_text(profile, made), replace=there)
    asker.say(Line("begin.written", {"file": str(file)}))
    hears = _listen(asker, read, microphone)
    past, now = _past(record, profile.athlete), datetime.now().astimezone()
    first = first_session(made, profile, past, aching, now, lines)
    for line in first.lines:
        asker.say(line)
    command = ["cuewalk", "train", *([] if hears else ["--typed"])]
    command += [] if catalogue is None else ["--catalogue", str(catalogue)]
    command += [] if to is None else ["--profile", str(to)]
    if first.today != "nothing":
        asker.say(Line(f"begin.{_when(first, health)}", {"command": shlex.join(command)}))


def begin_lines(language: str) -> Lines:
    """The lines of the first run beside those of a session."""
    return Lines.load(
        language_text(language, "lines"),
        language_text(language, "reasons"),
        language_text(language, "begin"),
    )


def _when(first: First, health: Screening) -> str:
    if advice(health) == "symptoms":
        return "next_clinician"
    return "next" if first.today == "yes" else "next_rested"


def _may_replace(asker: Asker, read: Answers, file: Path) -> bool:
    question = Line("begin.replace", {"file": str(file)})
    if asker.ask(question, read.yes_no, option="--replace", default=None):
        return True
    asker.say(Line("begin.kept", {"file": str(file)}))
    return False


def _listen(asker: Asker, read: Answers, wanted: str | None) -> bool:
    """Listen to the microphone, where that is wanted; False where there is none."""
    if not has_microphone():
        asker.say(Line("begin.no_microphone"))
        return False
    question = Line("begin.microphone")
    if wanted is None and not sys.stdin.isatty():
        return True
    if not asker.ask(question, read.yes_no, given=wanted, option="--microphone"):
        return True
    try:
        with (
            closing(choose_recogniser(language=read.lines.language).open()) as recogniser,
            closing(Microphone(SessionClock().now)) as microphone,
        ):
            asker.say(ASKED)
            asker.say(hear_word(microphone.blocks(), recogniser, read.coach).line)
    except CuewalkError as error:
        # The profile is written; what is wrong with the sound can be mended later.
        typer.echo(str(error))
    return True


def _past(record: Path | None, athlete: str) -> History:
    store = opened(record)
    if store is None:
        return History()
    with store:
        return history(store, athlete)
