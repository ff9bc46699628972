"""`cuewalk train`: a session, by voice, typed, or heard from recordings."""

from __future__ import annotations

import shlex
import sys
from collections.abc import Callable, Sequence
from contextlib import closing, nullcontext
from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

from assistant.commands.options import (
    CatalogueOption,
    EngineOption,
    LanguageOption,
    Material,
    MicrophoneOption,
    MinutesOption,
    ModelOption,
    ProfileOption,
    RecordOption,
    VerboseOption,
    material,
    open_record,
)
from assistant.commands.values import number
from assistant.errors import InputError
from assistant.hearing.wave import read_wave
from assistant.preparing import Prepared, begin, new_setting, unfinished
from assistant.prompts import prompts, wait_with_bar
from assistant.record.store import Store
from assistant.recorded import Sounds, train_recorded
from assistant.returning import return_choice
from assistant.runner import Recorder
from assistant.screen.choose import open_screen
from assistant.screen.port import Screen
from assistant.session.events import Event
from assistant.session.facts import Fact, SessionEnded
from assistant.speaking.natural_voice import NATURAL
from assistant.speaking.quiet_native import native_messages_hidden
from assistant.speaking.voice_box import VoiceBox
from intents.lines import Line, Lines, LineValue

NOT_TODAY = 1
"""Exit code where the athlete, unwell earlier today, does not choose to train again."""

Run = Callable[[Prepared, Recorder], str]


def train(
    typed: Annotated[bool, typer.Option("--typed", help="Type instead of speaking.")] = False,
    hear: Annotated[
        list[Path] | None,
        typer.Option("--hear", metavar="FILE", help="Hear a recording instead of the microphone."),
    ] = None,
    more: Annotated[
        list[Path] | None, typer.Argument(metavar="FILE", help="More recordings for --hear.")
    ] = None,
    at: Annotated[
        float | None,
        typer.Option(
            "--at",
            metavar="FACTOR",
            parser=number("--at", 0.1, 10_000),
            help="Clock so many times as fast, typed or recorded.",
        ),
    ] = None,
    plain: Annotated[
        bool, typer.Option("--plain", help="Write lines, as a screen reader wants them.")
    ] = False,
    fresh: Annotated[
        bool, typer.Option("--new", help="Begin anew, though a session broke off.")
    ] = False,
    no_sound_check: Annotated[
        bool,
        typer.Option("--no-sound-check", help="Do not ask for a word to see if you are heard."),
    ] = False,
    catalogue: CatalogueOption = None,
    profile: ProfileOption = None,
    record: RecordOption = None,
    minutes: MinutesOption = None,
    engine: EngineOption = None,
    model: ModelOption = None,
    language: LanguageOption = None,
    microphone: MicrophoneOption = None,
    loudspeaker: Annotated[
        str | None,
        typer.Option(
            "--loudspeaker", metavar="DEVICE", help="A number or name that cuewalk devices lists."
        ),
    ] = None,
    verbose: VerboseOption = False,
) -> None:
    """Train a session.

    Examples:

      cuewalk train

      cuewalk train --typed

      cuewalk train --typed --at 60 < lines.txt

      cuewalk train --hear yes.wav start.wav

    Stop on pain or dizziness. Test a bar before hanging, use a rigid roller, keep the floor clear,
    and have a spotter for inverted work.
    """
    recordings = [*(hear or ()), *(more or ())]
    if recordings and not hear:
        raise InputError("Recordings need --hear before them: cuewalk train --hear FILE.wav.")
    if typed and recordings:
        raise InputError("--typed and --hear do not go together: choose one.")
    if at is not None and not typed and not recordings:
        raise InputError("--at needs --typed or --hear: a live session runs in real time.")
    things = material(catalogue, profile, language)
    # A recording that can not be read is found before anything is put on record.
    sounds: Sounds = [(path.name, read_wave(path)) for path in recordings]
    live = not typed and not recordings
    # The voice starts up while the session is planned and the recogniser loads.
    voice = opening_voice(things) if live else None

    def run(prepared: Prepared, recorder: Recorder) -> str:
        if typed:
            from assistant.typed import train_typed

            return train_typed(
                prepared, things.coach, recorder, screen, sys.stdin, at or 1.0, sys.stdin.isatty()
            )
        from assistant.hearing.choose import choose_recogniser

        choice = choose_recogniser(
            engine, model, language=things.profile.language, bend=things.profile.bend
        )
        if voice is None:
            return train_recorded(
                prepared, things.coach, recorder, screen, choice.open(), sounds, at
            )
        from assistant.live import Devices, train_live

        screen.note(choice.why)
        ready(voice, prepared, things, screen)
        with native_messages_hidden():
            return train_live(
                prepared,
                things.coach,
                recorder,
                screen,
                choice.open(),
                voice,
                Devices(device(microphone), device(loudspeaker)),
                not no_sound_check,
            )

    words, now = things.coach.lines, datetime.now().astimezone()
    with closing(voice) if voice is not None else nullcontext(), open_record(record) as store:
        chosen = return_choice(store, things.profile.athlete, words, now, sys.stdin, sys.stdout)
        if chosen is False:
            raise typer.Exit(NOT_TODAY)
        with closing(
            open_screen(plain=plain, typed=typed, recorded=bool(recordings), words=words)
        ) as screen:
            run_on_record(
                store, things, screen, run,
                fresh=fresh, minutes=minutes, return_chosen=chosen is True,
                log=_log_command(record, catalogue),
            )  # fmt: skip


def opening_voice(things: Material) -> VoiceBox:
    """The profile's voice, rendering ahead what can be said at the beginning and at any time."""
    from assistant.speaking.choose import open_voices

    voice = open_voices(things.profile.voice, things.profile.language)
    voice.warm(fixed_texts(things.coach.lines), things.profile.rate)
    return voice


def fixed_texts(lines: Lines) -> list[str]:
    """The lines without values, the opening first: a line's place in the language's file is its
    place in a session."""
    return [text for id, ways in lines.lines.items() if not lines.slots(id) for text in ways]


def ready(voice: VoiceBox, prepared: Prepared, things: Material, screen: Screen) -> None:
    """The voice that the session begins with, with its lines rendered."""
    if voice.note is not None:
        screen.note(voice.note)
    start = prepared.start
    voice.use(start.voice)
    if start.rate != things.profile.rate:
        voice.warm(fixed_texts(things.coach.lines), start.rate)
    voice.warm(prompts(prepared.setting, things.coach), start.rate)
    if voice.speaking == NATURAL:
        # The others render a line faster than the one before it is said.
        wait_with_bar(voice, things.coach.lines.word("rendering"), sys.stderr)


def run_on_record(
    store: Store,
    things: Material,
    screen: Screen,
    run: Run,
    *,
    fresh: bool,
    minutes: int | None,
    return_chosen: bool = False,
    log: str | None = None,
) -> int:
    """Run a new session, or the one that broke off, on the record; returns its number.

    `log` is the command that shows the session afterwards; nothing is told of it where there is
    none.
    """
    from assistant.commands.app import program_version

    now = datetime.now().astimezone()
    prepared = (
        None
        if fresh
        else unfinished(
            store,
            things.catalogue,
            things.digest,
            things.profile.athlete,
            now,
            screen.note,
            return_chosen,
        )
    )
    if prepared is None:
        prepared = Prepared(
            new_setting(things.catalogue, things.profile, store, now, minutes, return_chosen), None
        )
    setting, session = prepared.setting, prepared.session

    def recorder(event: Event, facts: Sequence[Fact]) -> None:
        nonlocal session
        if session is None:
            # Only now: where a device can not be opened, no session has begun.
            session = begin(store, setting, now, things.digest, program_version())
        store.append(session, event, facts)
        for fact in facts:
            if isinstance(fact, SessionEnded) and log is not None:
                values: dict[str, LineValue] = {"session": session, "command": log}
                screen.note(things.coach.render(Line("note.on_record", values)))

    run(prepared, recorder)
    return session or 0


def _log_command(record: Path | None, catalogue: Path | None) -> str:
    """What to type to see the session: with the record that it is in, and its movements' names."""
    words = ["cuewalk", "log"]
    words += [] if record is None else ["--record", str(record)]
    words += [] if catalogue is None else ["--catalogue", str(catalogue)]
    return shlex.join(words)


def device(named: str | None) -> int | str | None:
    """A device by its number or a part of its name."""
    return int(named) if named is not None and named.isdigit() else named
