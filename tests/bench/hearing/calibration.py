"""What an agreement of the two PocketSphinx decoders is worth:
`python -m tests.bench.hearing.calibration`.

Prints one JSON line: by how far the two readings of a phrase differ, in the terms of
assistant/hearing/calibration.toml, how many phrases there were and what share was right; then how
many phrases, and how much other speech and small talk, would pass at each limit, by the difference
alone and with how well they fit. Only voices and recordings that may be tuned with are heard: every
fifth phrase by each voice, at the nodes of a session.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from assistant.hearing.agreement import calibration
from assistant.hearing.pocketsphinx_engine import PocketsphinxRecogniser
from assistant.hearing.port import Samples
from intents.meaning import Meaning
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
FITS = (-0.5, -1.4, -2.5, -4.0)
"""How much better another reading may fit, for a phrase to be one all the same."""
MISFITS = (-6.0, -8.0, -10.0)
"""How much better it must fit for a phrase to be none in any case."""


@dataclass(frozen=True)
class Found:
    """The last whole phrase in a sound: how far its readings differ, how well it fits against the
    other one, and whether it was understood right. Nothing was found where `apart` is negative."""

    apart: float
    ratio: float | None
    right: bool = False


def main() -> None:
    recogniser = PocketsphinxRecogniser()
    session = Session(recogniser)

    def found(sound: Samples, scope: Scope, wanted: Sequence[Meaning] = ()) -> Found:
        recogniser.apart, recogniser.ratio = -1.0, None
        events = session.hear(sound, scope)
        text = events[-1].text if events else ""
        meanings = coach().understander.understand(text, scope).meanings
        return Found(recogniser.apart, recogniser.ratio, bool(wanted) and meanings == wanted)

    phrases: list[Found] = []
    start = 0
    for said in all_phrases(TUNED, 5, seed=6):
        sound, _ = in_room(said, Room(), start)
        start += len(sound)
        phrases.append(found(sound, said.scope, said.wanted))
    other = {
        name: [found(sound, SESSION[turn % len(SESSION)]) for turn, sound in enumerate(sounds)]
        for name, sounds in (
            ("other_speech", talk(other_speech(0))),
            ("small_talk", small_talk(TUNED[:3])),
        )
    }

    rows = {"phrases": phrases, **other}

    def passing(judge: Callable[[Found], bool]) -> dict[str, int]:
        passed = {
            name: [one for one in row if one.apart >= 0 and judge(one)]
            for name, row in rows.items()
        }
        right = sum(one.right for one in passed["phrases"])
        wrong = len(passed["phrases"]) - right
        return {"right": right, "wrong": wrong, **{name: len(passed[name]) for name in other}}

    def within(most: float) -> dict[str, int]:
        return passing(lambda one: one.apart <= most)

    def fitting(fits: float, misfits: float) -> dict[str, int]:
        judge = replace(calibration("pocketsphinx"), fits=fits, misfits=misfits)
        return passing(lambda one: judge.is_phrase(one.apart, one.ratio))

    table = []
    for low, high in pairwise(EDGES):
        right = [one.right for one in phrases if low <= one.apart < high]
        if right:
            table.append([low, len(right), round(sum(right) / len(right), 3)])
    line = {
        "bench": "hearing_calibration",
        **{name: len(row) for name, row in rows.items()},
        "from_count_right": table,
        "limits": {most: within(most) for most in LIMITS},
        "fits": {f"{a:g} {b:g}": fitting(a, b) for a in FITS for b in MISFITS},
    }
    print(json.dumps(line))


if __name__ == "__main__":
    main()
