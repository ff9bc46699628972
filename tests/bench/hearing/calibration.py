"""What an agreement of the two PocketSphinx decoders is worth:
`python -m tests.bench.hearing.calibration`.

Prints one JSON line: the share of accepted phrases that were right, by how far the two readings
differ, in assistant/hearing/calibration.toml's terms, then how many phrases and how much other
speech would pass at each limit. Phrases are sampled from all that can be said and spoken by flite's
voices kal16, awb and rms; slt and a neural voice are kept for reports. FOLDER holds recordings of
other speech (every second one is used here, the rest is kept for reports).
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from itertools import pairwise
from pathlib import Path

import numpy as np

from assistant.hearing.listener import transcribe
from assistant.hearing.pocketsphinx_engine import PocketsphinxRecogniser
from assistant.hearing.port import RATE, Samples
from assistant.hearing.wave import read_wave
from assistant.language import phrases, understander
from intents.grammar import make_grammar
from intents.sample import sample
from intents.scope import EVERYTHING

VOICES = ("kal16", "awb", "rms")
PER_VOICE = 150
EDGES = (0.0, 0.001, 0.15, 0.3, 0.45, 0.6, 0.8, 1.01)


def main() -> None:
    understands = understander(None)
    known = phrases()
    recogniser = PocketsphinxRecogniser()
    recogniser.listen_for(make_grammar(known, understands.vocabulary, EVERYTHING))
    found: list[tuple[float, bool, bool]] = []
    """How far apart, whether it was a phrase at all, whether it was understood right."""

    def hear(sound: Samples, want: str) -> None:
        for utterance in transcribe(recogniser, sound):
            if recogniser.apart < 0:
                continue
            said = understands.understand(utterance.text, EVERYTHING).meanings
            right = bool(want) and said == understands.understand(want, EVERYTHING).meanings
            found.append((recogniser.apart, bool(want), right))

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "said.wav"
        for seed, voice in enumerate(VOICES, 100):
            samples = sample(known, understands.vocabulary, EVERYTHING, seed, PER_VOICE)
            for text in sorted({s.text for s in samples}):
                subprocess.run(["flite", "-voice", voice, "-t", text, "-o", path], check=True)
                sound = np.concatenate([np.zeros(RATE // 2), read_wave(path), np.zeros(RATE)])
                noise = np.random.default_rng(0).normal(0, 10, len(sound))
                hear((sound + noise).astype(np.int16), text)
    if len(sys.argv) > 1:
        for recording in sorted(Path(sys.argv[1]).glob("*.wav"))[::2]:
            hear(read_wave(recording), "")
    table = []
    for low, high in pairwise(EDGES):
        phrase = [right for apart, is_phrase, right in found if is_phrase and low <= apart < high]
        if phrase:
            table.append([low, len(phrase), round(sum(phrase) / len(phrase), 3)])
    limits = {
        most: {
            "right": sum(right for apart, _, right in found if apart <= most),
            "wrong": sum(p and not right for apart, p, right in found if apart <= most),
            "other_speech": sum(not p for apart, p, _ in found if apart <= most),
        }
        for most in (0.3, 0.4, 0.5, 0.55, 0.6, 0.7, 0.8)
    }
    spoken = sum(is_phrase for _, is_phrase, _ in found)
    print(
        json.dumps(
            {
                "bench": "hearing_calibration",
                "phrases": spoken,
                "other": len(found) - spoken,
                "from_count_right": table,
                "limits": limits,
            }
        )
    )


if __name__ == "__main__":
    main()
