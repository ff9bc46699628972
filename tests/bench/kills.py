"""Whole sessions of the real program, killed at any moment and taken up again.

    python -m tests.bench.kills --kills 500
    python -m tests.bench.kills --kills 50 --way recorded
    python -m tests.bench.kills --kills 50 --way full
    python -m tests.bench.kills --kills 20 --way live

prints one JSON line: kills, how often a session was taken up again, sets shown as logged, and how
many of these were not on record (it stops at the first). `recorded` begins with sounds as the
microphone (needs flite), `live` in the virtual room (needs PulseAudio), `full` is not killed but
has its disk full at some time.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import subprocess
import tempfile
import threading
import time
import wave
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from pathlib import Path

from assistant.simulated import speech_seconds
from tests.assistant.commands.answering import Program, answer
from tests.assistant.commands.breaking_off import TYPED, Way, on_a_full_disk, run, undisturbed
from tests.room.virtual_room import VirtualRoom

SAID = {
    "no": "no please",
    "yes": "yes please",
    "start": "start please",
    "done": "done",
    "six": "effort six",
    "resume": "resume",
}
"""What is spoken for what would be typed: longer words are heard more surely."""


def recorded(folder: Path) -> Way:
    """Begins with recordings: cautions and check-in, then set after set."""
    for name in SAID:
        _speak(folder / f"{name}.wav", SAID[name])
    order = ["yes", "no", "yes", "yes", *["start", "done", "done"] * 4, "six", *["start"] * 4]
    sounds = [str(folder / f"{name}.wav") for name in order]

    def start(home: Path, words: Sequence[str]) -> Program:
        by_ear = ("--at", "40", "--engine", "pocketsphinx", "--hear", *sounds)
        return Program(home, *words, *by_ear, answer=lambda said: None)

    return Way(start, 6.0)


def _speak(file: Path, text: str) -> None:
    """A sound file of the text, with a second of silence round it."""
    subprocess.run(["flite", "-voice", "slt", "-t", text, str(file)], check=True)
    with wave.open(str(file), "rb") as sound:
        shape, frames = sound.getparams(), sound.readframes(sound.getnframes())
    silence = b"\0\0" * shape.framerate
    with wave.open(str(file), "wb") as sound:
        sound.setparams(shape)
        sound.writeframes(silence + frames + silence)


@contextlib.contextmanager
def live() -> Iterator[Way]:
    """Begins by voice in the virtual room; the athlete speaks when the coach has finished."""
    with VirtualRoom() as room:
        until = 0.0

        def speak(said: str) -> None:
            nonlocal until
            now = time.monotonic()
            until = max(until, now) + speech_seconds(said, 165)
            word = answer(said)
            if word is not None:
                wait = until - now + 0.4
                threading.Timer(wait, room.speak_text, [SAID[word]], {"voice": "slt"}).start()

        def start(home: Path, words: Sequence[str]) -> Program:
            return Program(home, "--engine", "pocketsphinx", *words, answer=speak, environ=room.env)

        yield Way(start, 90.0)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=500)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--way", choices=("typed", "recorded", "live", "full"), default="typed")
    wanted = parser.parse_args()
    began = time.monotonic()
    with contextlib.ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory()))
        way = TYPED
        if wanted.way == "recorded":
            way = recorded(folder)
        elif wanted.way == "full":
            way = on_a_full_disk(wanted.seed)
        elif wanted.way == "live":
            way = stack.enter_context(live())
        # What is taken up again is typed, so by ear a session is killed once.
        at_most = 8 if way is TYPED else 1
        whole = undisturbed(folder / "whole")
        told = run(folder, wanted.kills, wanted.seed, whole, way, at_most)
    seconds = round(time.monotonic() - began)
    print(json.dumps({"way": wanted.way, **asdict(told), "seconds": seconds, "seed": wanted.seed}))


if __name__ == "__main__":
    main()
