"""What hearing costs and how soon it decides: `python -m tests.bench.hearing.cost [ENGINE]`.

Bars: listening under 0.1 of a core; the whole process under 300 MB; changing to a known grammar
under 30 ms. The speaker is flite's voice slt; `talk` is speech without an end, the worst case.
Decision times are in seconds of sound, so they do not depend on the machine.
"""

from __future__ import annotations

import json
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from assistant.coach import Coach
from assistant.files import builtin_catalogue
from assistant.hearing.listener import blocks_of, transcribe
from assistant.hearing.port import RATE, Recogniser, Samples
from assistant.hearing.wave import read_wave
from assistant.session.nodes import Node
from assistant.session.scopes import scope_at
from intents.scope import EVERYTHING
from tests.bench.hearing.__main__ import embedded

SHORT = ("stop", "pause", "next", "go back", "i am ready", "easier", "skip", "that hurts")
LONG = ("log thirty eight seconds", "effort seven", "i do not have a bar")
TALK = "the letter came yesterday and nobody in the house wanted to open it before noon"


def spoken(text: str) -> Samples:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "said.wav"
        subprocess.run(["flite", "-voice", "slt", "-t", text, "-o", path], check=True)
        sound = read_wave(path)
    return room(np.concatenate([np.zeros(RATE), sound, np.zeros(RATE)]))


def room(sound: np.ndarray) -> Samples:
    return (sound + np.random.default_rng(0).normal(0, 10, len(sound))).astype(np.int16)


def cost(recogniser: Recogniser, sound: Samples) -> float:
    """Share of one core."""
    began = time.process_time()
    transcribe(recogniser, sound)
    return round((time.process_time() - began) / (len(sound) / RATE), 4)


def waits(recogniser: Recogniser, texts: tuple[str, ...]) -> list[float]:
    """Seconds from the last loud sample to the block that brought the final utterance."""
    out = []
    for text in texts:
        sound = spoken(text)
        last = np.flatnonzero(np.abs(sound.astype(int)) > 500)[-1] / RATE
        for block, at in blocks_of(sound):
            if any(u.final and not u.rejected for u in recogniser.accept(block, at)):
                out.append(at + len(block) / RATE - last)
                break
    return out


def memory() -> float:
    """Megabytes that the process holds."""
    lines = Path("/proc/self/status").read_text().splitlines()
    return int(next(x for x in lines if x.startswith("VmRSS")).split()[1]) / 1024


def main() -> None:
    coach = Coach.of(builtin_catalogue(), "en")
    before = memory()
    began = time.process_time()
    recogniser = embedded(sys.argv[1] if len(sys.argv) > 1 else None)
    opened = time.process_time() - began
    scopes = {node.value: scope_at(node) for node in Node}
    first, again = [], []
    grammars = [coach.grammar(scope) for scope in scopes.values()]
    for grammar in grammars:
        began = time.process_time()
        recogniser.listen_for(grammar)
        first.append(1000 * (time.process_time() - began))
    for grammar in grammars:
        began = time.process_time()
        recogniser.listen_for(grammar)
        again.append(1000 * (time.process_time() - began))
    talk = np.concatenate([spoken(TALK)[RATE:-RATE]] * 3)
    recogniser.listen_for(coach.grammar(scopes["work"]))
    result = {
        "bench": "hearing_cost",
        "engine": recogniser.name,
        "opened_s": round(opened, 2),
        "silence_core": cost(recogniser, room(np.zeros(60 * RATE))),
        "talk_core_work": cost(recogniser, talk),
        "grammar_first_ms": round(statistics.median(first), 1),
        "grammar_first_max_ms": round(max(first), 1),
        "grammar_again_ms": round(max(again), 3),
    }
    short, long = waits(recogniser, SHORT), waits(recogniser, LONG)
    recogniser.listen_for(coach.grammar(EVERYTHING))
    result |= {
        "talk_core_everything": cost(recogniser, talk),
        "decision_short_s": round(statistics.median(short), 3) if short else None,
        "decision_short_max_s": round(max(short), 3) if short else None,
        "decided_short": f"{len(short)}/{len(SHORT)}",
        "decision_long_s": round(statistics.median(long), 3) if long else None,
        "decided_long": f"{len(long)}/{len(LONG)}",
        "memory_of_hearing_mb": round(memory() - before, 1),
        "memory_mb": round(memory(), 1),
    }
    print(json.dumps(result))


if __name__ == "__main__":
    main()
