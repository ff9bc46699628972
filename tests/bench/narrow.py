"""How much worse a microphone with half of speech hears: `python -m tests.bench.narrow`.

Commands spoken by two of flite's voices in a quiet room, heard by the real recogniser whole, at the
8 kHz of a telephone or an old Bluetooth headset, and through the 300 to 3400 Hz that such a line
passes (ITU-T G.712 names that band); each brought back to 16 kHz as the microphone does it. Right:
the meaning that was said. Wrong: another one is acted on or asked about. Missed: nothing is.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import tempfile
from pathlib import Path

import numpy as np
import soxr

from assistant.coach import Coach
from assistant.files import read_catalogue
from assistant.hearing.choose import choose_recogniser
from assistant.hearing.listener import transcribe
from assistant.hearing.port import RATE, Samples
from assistant.hearing.wave import read_wave
from assistant.session.nodes import Node
from assistant.session.scopes import scope_at
from intents.sample import sample
from tests.assistant.hearing.sounds import in_room

NODES = (Node.SAFEGUARD, Node.READY, Node.WORK, Node.PAUSED)
VOICES = ("slt", "rms")
BAND = (300.0, 3400.0)


def at_8_khz(sound: Samples) -> Samples:
    narrow = soxr.resample(sound, RATE, 8_000, quality="HQ")
    back: Samples = soxr.resample(narrow, 8_000, RATE, quality="HQ").astype(np.int16)
    return back


def telephone(sound: Samples) -> Samples:
    spectrum = np.fft.rfft(sound.astype(np.float64))
    hertz = np.fft.rfftfreq(len(sound), 1 / RATE)
    spectrum[(hertz < BAND[0]) | (hertz > BAND[1])] = 0
    return at_8_khz(np.fft.irfft(spectrum, len(sound)).astype(np.int16))


WAYS = {"whole": lambda sound: sound, "8 kHz": at_8_khz, "telephone": telephone}


def main() -> None:
    options = argparse.ArgumentParser()
    options.add_argument("--samples", type=int, default=30, help="sentences for each node")
    options.add_argument("--engine", default="pocketsphinx")
    asked = options.parse_args()
    coach = Coach.of(read_catalogue(None), "en")
    reader = coach.understander
    recogniser = choose_recogniser(asked.engine, language="en").open()
    counts = {way: {"right": 0, "wrong": 0, "missed": 0} for way in WAYS}
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "said.wav"
        for node in NODES:
            scope = scope_at(node)
            recogniser.listen_for(coach.grammar(scope))
            said = sample(reader.phrases, reader.vocabulary, scope, 0, asked.samples)
            for number, text in enumerate(dict.fromkeys(one.text for one in said)):
                voice = VOICES[number % len(VOICES)]
                subprocess.run(["flite", "-voice", voice, "-t", text, "-o", file], check=True)
                wanted = reader.understand(text, scope)
                spoken = in_room(read_wave(file))
                for way, passes in WAYS.items():
                    heard = [u for u in transcribe(recogniser, passes(spoken)) if not u.rejected]
                    got = reader.understand(" ".join(u.text for u in heard), scope)
                    if not heard or got.decision == "pass":
                        counts[way]["missed"] += 1
                    else:
                        right = got.meanings == wanted.meanings
                        counts[way]["right" if right else "wrong"] += 1
    recogniser.close()
    print(json.dumps({"engine": asked.engine, "samples": asked.samples, **counts}))


if __name__ == "__main__":
    main()
