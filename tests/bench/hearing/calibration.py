"""What an agreement of the two PocketSphinx decoders is worth:
`python -m tests.bench.hearing.calibration`.

Prints one JSON line: by how far the two readings of a phrase differ, in the terms of
assistant/hearing/calibration.toml, how many phrases there were and what share was right; then how
many phrases, and how much other speech and small talk, would pass at each limit. Only voices and
recordings that may be tuned with are heard: every fifth phrase by each voice, at the nodes of a
session.
"""

from __future__ import annotations

import json
from itertools import pairwise

from assistant.hearing.pocketsphinx_engine import PocketsphinxRecogniser
from assistant.hearing.port import Samples
from intents.scope import Scope
from tests.bench.hearing.__main__ import SESSION
from tests.bench.hearing.material import (
    Room,
    all_phrases,
    coach,
    in_room,
    other_speech,
    small_talk,
    talk,
)
from tests.bench.hearing.trial import Session
from tests.bench.hearing.voices import TUNED

EDGES = (0.0, 0.001, 0.15, 0.3, 0.4, 0.5, 0.6, 0.8, 1.01)
LIMITS = (0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8)


def main() -> None:
    recogniser = PocketsphinxRecogniser()
    session = Session(recogniser)

    def apart(sound: Samples, scope: Scope) -> tuple[float, str]:
        """How far the readings of the last whole phrase in a sound differ, and its text."""
        recogniser.apart = -1.0
        events = session.hear(sound, scope)
        return recogniser.apart, events[-1].text if events else ""

    phrases: list[tuple[float, bool]] = []
    """How far apart, and whether it was understood right."""
    start = 0
    for said in all_phrases(TUNED, 5, seed=6):
        sound, _ = in_room(said, Room(), start)
        start += len(sound)
        difference, text = apart(sound, said.scope)
        meanings = coach().understander.understand(text, said.scope).meanings
        phrases.append((difference, meanings == said.wanted))
    other = {
        name: [apart(sound, SESSION[turn % len(SESSION)])[0] for turn, sound in enumerate(sounds)]
        for name, sounds in (
            ("other_speech", talk(other_speech(0))),
            ("small_talk", small_talk(TUNED[:3])),
        )
    }
    table = []
    for low, high in pairwise(EDGES):
        right = [ok for difference, ok in phrases if low <= difference < high]
        if right:
            table.append([low, len(right), round(sum(right) / len(right), 3)])
    limits = {
        most: {
            "right": sum(ok for difference, ok in phrases if 0 <= difference <= most),
            "wrong": sum(not ok for difference, ok in phrases if 0 <= difference <= most),
            **{
                name: sum(0 <= difference <= most for difference in found)
                for name, found in other.items()
            },
        }
        for most in LIMITS
    }
    counts = {name: len(found) for name, found in other.items()}
    line = {"bench": "hearing_calibration", "phrases": len(phrases), **counts}
    print(json.dumps({**line, "from_count_right": table, "limits": limits}))


if __name__ == "__main__":
    main()
