"""What a minute of reading brings: `python -m tests.bench.hearing.adaptation [ENGINE]`.

Each held-out voice reads what `cuewalk reading` gives to read; then it says every third phrase in a
quiet room, to an engine that knows nothing of it and to one that was adapted. Prints one JSON line
for each voice: the bend, counts before and after, and the seconds that the adaptation took.
"""

from __future__ import annotations

import json
import sys
import time

import numpy as np

from assistant.hearing.adaptation import adapt
from assistant.hearing.port import RATE, Samples
from assistant.reading import sentences
from tests.bench.hearing.__main__ import counted, embedded
from tests.bench.hearing.material import HISS, Room, all_phrases
from tests.bench.hearing.trial import outcomes
from tests.bench.hearing.voices import REPORTED, Speaker, spoken


def read(text: str, speaker: Speaker) -> Samples:
    """The sentence with 0.3 s of a quiet room before and after it."""
    quiet = np.zeros(round(0.3 * RATE))
    sound = np.concatenate([quiet, spoken(text, speaker), quiet])
    noise = np.random.default_rng(0).normal(0.0, HISS, len(sound))
    mixed: Samples = np.clip(sound + noise, -32_768, 32_767).astype(np.int16)
    return mixed


def main() -> None:
    engine = sys.argv[1] if len(sys.argv) > 1 else None
    for speaker in REPORTED:
        # The seed differs from that of the other conditions, so do the phrases.
        said = [one for one in all_phrases(REPORTED, 3, seed=9) if one.speaker == speaker]
        began = time.process_time()
        adapted = adapt([(read(text, speaker), text) for text in sentences()])
        seconds = time.process_time() - began
        before = outcomes(embedded(engine), said, Room())
        after = outcomes(embedded(engine, adapted.bend), said, Room())
        line = {"voice": speaker.name, "bend": adapted.bend, "seconds": round(seconds, 1)}
        line |= {"before": counted(before), "after": counted(after)}
        print(json.dumps({"bench": "hearing_adaptation", **line}), flush=True)


if __name__ == "__main__":
    main()
