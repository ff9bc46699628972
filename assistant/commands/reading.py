"""`cuewalk reading`: a minute of reading aloud, after which the recogniser knows the voice."""

from __future__ import annotations

from contextlib import closing

import typer

from assistant.clock import SessionClock
from assistant.commands.options import MicrophoneOption, ProfileOption, material
from assistant.commands.train import device
from assistant.errors import InputError
from assistant.hearing.adaptation import adapt
from assistant.hearing.dictionary import LANGUAGE
from assistant.hearing.microphone import Microphone
from assistant.profile_file import default_profile_path, with_bend, write_new
from assistant.reading import read_aloud, sentences


def reading(
    profile: ProfileOption = None,
    microphone: MicrophoneOption = None,
) -> None:
    """Read some sentences aloud, once, to be heard better.

    Takes a minute. What is kept is one number in your profile, no sound. It helps PocketSphinx with
    voices unlike those it was made for, such as children's; moonshine hears them without it.

    Example: cuewalk reading
    """
    things = material(None, profile)
    path = profile or default_profile_path()
    if not path.exists():
        raise InputError(f"{path} is not there; make your profile first with: cuewalk begin")
    if things.profile.language != LANGUAGE:
        raise InputError("What is read is English: the recogniser of your language needs none.")
    typer.echo("Read each line aloud as it comes, as you would speak in a session.")
    texts = sentences()
    with closing(Microphone(SessionClock().now, device(microphone))) as opened:
        read = read_aloud(
            opened.blocks(), texts, lambda n, text: typer.echo(f"{n} of {len(texts)}: {text}")
        )
    adapted = adapt(read)
    text = path.read_text(encoding="utf-8")
    write_new(path, with_bend(text, adapted.bend), replace=True)
    typer.echo(f"Read: {len(read)} of {len(texts)}. What your voice is like is kept in {path}.")
