"""How sure it is that a phrase was said: `python -m tests.bench.hearing.certainty`.

Prints one JSON line: the weights of assistant/hearing/certainty.toml as a logistic regression finds
them, over every fifth phrase by each voice of `UNTAUGHT` and of `REMADE`, in a quiet room and in
the first half of the kitchen noise at 12 and 6 dB, over that half in which nobody speaks, and over
other speech and small talk; then, for some limits, how many utterances are taken in each condition
rightly and not. About twenty minutes. Needs npm and what
`pip install '.[training]'` brings, for these voices.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from assistant.hearing.certainty import Certainty, Things
from assistant.hearing.moonshine_engine import MoonshineRecogniser
from assistant.hearing.port import Samples, Utterance
from intents.meaning import Meaning
from intents.scope import Scope
from tests.bench.hearing.__main__ import SESSION, embedded
from tests.bench.hearing.material import (
    Room,
    Said,
    all_phrases,
    coach,
    in_room,
    noise,
    other_speech,
    small_talk,
    talk,
)
from tests.bench.hearing.trial import Session
from tests.bench.hearing.voices import REMADE, UNTAUGHT

ROOMS = {
    "clean": Room(reporting=False),
    **{f"kitchen-{ratio}": Room("kitchen", ratio, reporting=False) for ratio in (12, 6)},
}
LIMITS = (0.2, 0.25, 0.3, 0.35, 0.5, 0.55, 0.7)
EVERY = 5
OTHERWISE = np.array([False, False, False, True, True, False, False])
"""Which of the things, and what they begin from, are such shares."""

OFTEN = {"other": 3.0, "small-talk": 4.0, "kitchen": 16.0}
"""So many times what was heard of these counts: a few minutes stand for hours beside a session."""

RIDGE = 1e-2
"""How strongly weights are held to nothing."""


@dataclass(frozen=True)
class Read:
    """One utterance: where, what was told of the phrase in it, and whether that was right."""

    condition: str
    told: Things
    right: bool


class Telling:
    """The recogniser, with what is told of every reading put down."""

    def __init__(self, recogniser: MoonshineRecogniser) -> None:
        self.name, self.told = recogniser.name, list[tuple[str, Things]]()
        self._recogniser = recogniser
        self.listen_for, self.unknown = recogniser.listen_for, recogniser.unknown
        self.flush, self.close = recogniser.flush, recogniser.close

    def accept(self, block: Samples, at: float) -> Iterator[Utterance]:
        for utterance in self._recogniser.accept(block, at):
            if utterance.final:
                self.told.append(self._recogniser.told)
            yield utterance


def readings() -> list[Read]:
    recogniser = embedded("moonshine")
    assert isinstance(recogniser, MoonshineRecogniser)
    telling = Telling(recogniser)
    session = Session(telling)
    here = coach().understander
    out = list[Read]()

    def read(condition: str, sound: Samples, scope: Scope, wanted: tuple[Meaning, ...]) -> None:
        telling.told.clear()
        session.hear(sound, scope)
        for text, told in telling.told:
            meant = here.understand(text, scope).meanings
            out.append(Read(condition, told, bool(wanted) and meant == wanted))

    for condition, room in ROOMS.items():
        start = 0
        for said in phrases():
            sound, _ = in_room(said, room, start)
            start += len(sound)
            read(condition, sound, said.scope, said.wanted)
    for condition, sounds in (
        # In each of the scopes: what is like a phrase of one is like none of another.
        ("other", [one for one in talk(other_speech(0)) for _ in SESSION]),
        ("small-talk", small_talk(UNTAUGHT[:3])),
        ("kitchen", [kitchen(ratio) for ratio in (12, 6) for _ in SESSION]),
    ):
        for turn, sound in enumerate(sounds):
            read(condition, sound, SESSION[turn % len(SESSION)], ())
    return out


def phrases() -> list[Said]:
    """Said by strangers, and by what a vocoder makes of them: of either kind alone the other is
    judged too strictly."""
    return [one for of in (UNTAUGHT, REMADE) for one in all_phrases(of, EVERY, seed=6)]


def kitchen(ratio: float) -> Samples:
    """The first half of the noise, as loud as where speech is so many decibels above it."""
    length = len(noise("kitchen", reporting=False))
    sound = Room("kitchen", ratio, reporting=False).background(length, 0)
    return np.round(sound).astype(np.int16)


def regression(found: list[Read]) -> Certainty:
    """Weights that make what was found likeliest. That the decoders heard something else never
    speaks for a phrase: a share that would is left out."""
    counted = np.ones(len(found[0].told) + 1)
    while True:
        weights = _likeliest(found, counted)
        wrong = (weights > 0) & OTHERWISE
        if not wrong.any():
            rounded = [round(float(weight), 3) for weight in weights]
            return Certainty(tuple(rounded[:-1]), rounded[-1])
        counted[np.argmax(np.where(wrong, weights, 0.0))] = 0.0


def _likeliest(found: list[Read], counted: np.ndarray) -> np.ndarray:
    """By Newton's method; things that are not counted (0 instead of 1) weigh nothing."""
    told = np.array([[*one.told, 1.0] for one in found]) * counted
    often = np.array([OFTEN.get(one.condition, 1.0) for one in found])
    right = np.array([one.right for one in found], float)
    weights = np.zeros(told.shape[1])
    for _ in range(50):
        sure = 1 / (1 + np.exp(-told @ weights))
        slope = told.T @ (often * (right - sure)) - RIDGE * weights
        bend = (told * (often * sure * (1 - sure))[:, None]).T @ told + RIDGE * np.eye(len(weights))
        weights += np.linalg.solve(bend, slope)
    return weights


def main() -> None:
    found = readings()
    certainty = regression(found)
    table: dict[str, dict[str, list[int]]] = {}
    for limit in LIMITS:
        row = table.setdefault(str(limit), {})
        for one in found:
            count = row.setdefault(one.condition, [0, 0])
            count[not one.right] += certainty.of(one.told) >= limit
    line = {
        "bench": "hearing_certainty",
        "weights": certainty.weights,
        "offset": certainty.offset,
        "phrases": len(phrases()),
        "right_and_not": table,
    }
    print(json.dumps(line))


if __name__ == "__main__":
    main()
