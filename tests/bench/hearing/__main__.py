"""How well the embedded engine hears: `python -m tests.bench.hearing [CONDITION ...]`.

Prints one JSON line for each condition: `clean`, `kitchen-18`, `kitchen-12`, `kitchen-6`, the same
of `pink` and `babble`, `other` (speech about other things, at the nodes of a session), `everything`
(the same with every phrase in scope), `narrow` (the same after a yes-or-no question) and
`small-talk` (short everyday sentences of the voices at the nodes of a session). Without conditions:
those of the table of bars. Options: `--tuned` speaks with the voices and noise that may be tuned
with instead of those that report, `--every N` says only every Nth phrase, `--list` tells what was
not right on standard error, `--engine NAME` hears with another engine than the best.

In a line: counts of phrases right, wrong (something else acted), asked (asked about something
else) and missed; `share` right with its Wilson 95 % interval; the same for safety words, and how
often any of them acted, be it with another part of the body (`halted`); the median and 95th
percentile of the seconds from the end of the last sound to the decision, over the right phrases of
at most three words (`wait`) and over all. Of other speech: minutes, how often anything acted or was
asked about, and how often stop, finish, skip or log did.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections import Counter
from collections.abc import Sequence

import numpy as np

from assistant.hearing.choose import choose_recogniser
from assistant.hearing.port import RATE, Recogniser
from assistant.session.nodes import Node
from assistant.session.scopes import scope_at
from intents.scope import EVERYTHING, Scope
from tests.bench.hearing.material import Room, all_phrases, other_speech, small_talk, talk
from tests.bench.hearing.trial import Outcome, actions, outcomes
from tests.bench.hearing.voices import REPORTED, TUNED

TABLE = ("clean", "kitchen-18", "kitchen-12", "kitchen-6", "other", "narrow", "small-talk")
COSTLY = {"stop", "finish", "skip", "log"}
SHORT = 3
"""Words that a short command has at most."""

SESSION = [scope_at(n) for n in (Node.READY, Node.WORK, Node.REST, Node.EFFORT, Node.EQUIPMENT)]

OTHER: dict[str, list[Scope]] = {
    "other": SESSION,
    "small-talk": SESSION,
    "everything": [EVERYTHING],
    "narrow": [scope_at(Node.CONFIRM)],
}


def wilson(right: int, of: int) -> tuple[float, float]:
    """The 95 % interval of a share (E. B. Wilson, Journal of the American Statistical Association
    22, 1927).

    >>> wilson(98, 100)
    (0.93, 0.994)
    """
    if not of:
        return 0.0, 1.0
    z, share = 1.96, right / of
    middle = (share + z * z / (2 * of)) / (1 + z * z / of)
    half = z / (1 + z * z / of) * (share * (1 - share) / of + z * z / (4 * of * of)) ** 0.5
    return round(middle - half, 3), round(middle + half, 3)


def counted(found: Sequence[Outcome]) -> dict[str, object]:
    kinds = Counter(outcome.kind for outcome in found)
    share = kinds["right"] / len(found) if found else 0.0
    return {
        "said": len(found),
        **{kind: kinds[kind] for kind in ("right", "wrong", "asked", "missed")},
        "share": round(share, 4),
        "interval": wilson(kinds["right"], len(found)),
    }


def waits(found: Sequence[Outcome]) -> dict[str, float]:
    times = [outcome.wait for outcome in found if outcome.right and outcome.wait is not None]
    if not times:
        return {}
    return {
        name: round(float(np.percentile(times, p)), 3) for name, p in (("median", 50), ("p95", 95))
    }


def told(found: Sequence[Outcome]) -> None:
    for one in found:
        if not one.right:
            heard = " / ".join(f"{h.text} ({h.decision})" for h in (*one.heard, *one.passed))
            print(
                f"{one.kind:7} {one.said.scope.name:14} {one.said.speaker.name:14} "
                f"{one.said.text!r} -> {heard}",
                file=sys.stderr,
            )


def embedded(engine: str | None = None, bend: float = 1.0) -> Recogniser:
    """The engine of this name, or the best that is here."""
    return choose_recogniser(engine, environ={}, bend=bend).open()


def commands(
    recogniser: Recogniser, condition: str, tuned: bool, every: int, listed: bool
) -> dict[str, object]:
    kind, _, ratio = condition.partition("-")
    room = Room(None if kind == "clean" else kind, float(ratio or 0), not tuned)
    said = all_phrases(TUNED if tuned else REPORTED, every, seed=int(tuned))
    found = outcomes(recogniser, said, room)
    safety = [outcome for outcome in found if outcome.said.safety]
    if listed:
        told(found)
    return {
        **counted(found),
        "safety": {**counted(safety), "halted": sum(outcome.halted for outcome in safety)},
        "wait": waits([outcome for outcome in found if len(outcome.said.text.split()) <= SHORT]),
        "wait_all": waits(found),
    }


def other(recogniser: Recogniser, condition: str, tuned: bool, listed: bool) -> dict[str, object]:
    if condition == "small-talk":
        sounds = small_talk(TUNED[:3] if tuned else REPORTED[:3])
    else:
        sounds = talk(other_speech(0 if tuned else None))
    acted = actions(recogniser, sounds, OTHER[condition])
    if listed:
        for event in acted:
            print(event, file=sys.stderr)
    ids = [meaning.id for e in acted if e.decision == "act" for meaning in e.meanings]
    return {
        "minutes": round(sum(map(len, sounds)) / RATE / 60, 1),
        "acted": sum(event.decision == "act" for event in acted),
        "asked": sum(event.decision == "confirm" for event in acted),
        "costly": sum(i in COSTLY for i in ids),
        "meanings": ids,
    }


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("conditions", nargs="*", default=TABLE)
    parser.add_argument("--tuned", action="store_true")
    parser.add_argument("--every", type=int, default=1)
    parser.add_argument("--list", action="store_true")
    parser.add_argument("--engine")
    options = parser.parse_args()
    for condition in options.conditions:
        recogniser = embedded(options.engine)
        if condition in OTHER:
            line = other(recogniser, condition, options.tuned, options.list)
        else:
            line = commands(recogniser, condition, options.tuned, options.every, options.list)
        voices = "tuned" if options.tuned else "reported"
        print(
            json.dumps(
                {
                    "bench": "hearing",
                    "engine": recogniser.name,
                    "condition": condition,
                    "voices": voices,
                    **line,
                }
            )
        )
        sys.stdout.flush()


if __name__ == "__main__":
    main()
