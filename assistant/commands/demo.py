"""`cuewalk demo`: the main job on a machine without a microphone."""

from __future__ import annotations

import tempfile
from datetime import datetime
from io import BytesIO
from pathlib import Path

import typer

from assistant.captions import Captions
from assistant.coach import Coach
from assistant.commands.options import Material, open_record
from assistant.commands.train import run_on_record
from assistant.demonstration.lines import FOLDER, script
from assistant.files import builtin_catalogue, builtin_sources
from assistant.hearing.choose import choose_recogniser
from assistant.hearing.wave import read_wave
from assistant.preparing import Prepared, digest_of
from assistant.record.table import session_text
from assistant.recorded import Sounds, train_recorded
from assistant.runner import Recorder
from assistant.script import Wait
from catalogue.load import load_profile


def demo() -> None:
    """Show a whole session with a recorded athlete, and its log.

    The recogniser is the real one. Nothing of it goes into your own record.

    Example: cuewalk demo
    """
    catalogue = builtin_catalogue()
    text = (FOLDER / "profile.toml").read_text(encoding="utf-8")
    profile = load_profile(text, "profile.toml", catalogue)
    things = Material(
        catalogue, profile, digest_of(builtin_sources()), Coach.of(catalogue, profile.language)
    )
    captions = Captions()
    began = datetime.now()
    choice = choose_recogniser(environ={})
    captions.note("an invented session; the athlete is a recording, the recogniser is real")
    captions.note(choice.why)
    captions.note("pain or dizziness ends the work; a coach or a clinician knows better than this")
    recogniser = choice.open()

    def run(prepared: Prepared, recorder: Recorder) -> str:
        return train_recorded(
            prepared, things.coach, recorder, captions, recogniser, sounds(), None
        )

    with tempfile.TemporaryDirectory() as folder, open_record(Path(folder) / "demo.db") as store:
        session = run_on_record(store, things, captions, run, fresh=True, minutes=None)
        info = next(i for i in store.sessions() if i.id == session)
        names = {m.id: m.name for m in catalogue.movements.values()}
        typer.echo("")
        typer.echo(session_text(info, store.facts(session), store.length(session), names))
        minutes = store.length(session) / 60
    took = (datetime.now() - began).total_seconds()
    typer.echo(f"\n{minutes:.0f} minutes of training, rehearsed in {took:.0f} seconds.")


def sounds() -> Sounds:
    """The demonstration's recordings, with the waits before them."""
    found: Sounds = []
    for line in script()[1]:
        if line.wait:
            found.append(Wait(line.wait))
        sound = BytesIO(line.file.read_bytes())
        found.append((line.text, read_wave(sound, line.file.name)))
    return found
