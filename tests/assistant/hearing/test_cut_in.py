"""The table of cutting in, order by order."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from assistant.hearing.cut_in import (
    CALM,
    HINT,
    LONGEST,
    PATIENCE,
    REPEATS,
    SURE,
    SURER,
    CutIn,
    Order,
)
from assistant.hearing.echo import Cleaned, EchoCanceller
from assistant.hearing.port import BLOCK, RATE

QUIET = EchoCanceller().hear(np.zeros(BLOCK, np.int16), at=0.0)


class Bench:
    """A coach who speaks, and blocks that follow each other."""

    def __init__(self, interruptible: bool = True) -> None:
        self.cut_in = CutIn()
        self.at = 10.0
        self.orders: list[str] = []
        self.take(self.cut_in.coach_started(self.at, interruptible))

    def take(self, orders: tuple[Order, ...]) -> None:
        self.orders += [type(order).__name__ for order in orders]

    def hear(
        self, odds: float, seconds: float = BLOCK / RATE, trusted: bool = True, left: float = -100.0
    ) -> None:
        for _ in range(round(seconds * RATE / BLOCK)):
            block: Cleaned = replace(
                QUIET, at=self.at, odds=odds, coach=True, trusted=trusted, left=left, noise=-70.0
            )
            self.take(self.cut_in.block(block))
            self.at += BLOCK / RATE

    def heard(self, meant: bool) -> None:
        self.take(self.cut_in.utterance(meant, self.at))

    def said_again(self) -> None:
        self.take(self.cut_in.coach_started(self.at))


def test_a_hint_turns_the_coach_down_and_calm_turns_him_up_again() -> None:
    bench = Bench()
    bench.hear(HINT)
    assert bench.orders == ["Duck"]
    bench.hear(-3.0, CALM + 0.1)
    assert bench.orders == ["Duck", "Restore"]


def test_a_sure_voice_silences_and_what_was_meant_ends_it() -> None:
    bench = Bench()
    bench.hear(SURE + 1)
    assert bench.orders == ["Silence"]
    assert bench.cut_in.listening
    bench.heard(meant=True)
    assert bench.orders == ["Silence"]
    assert not bench.cut_in.listening


def test_nothing_meant_begins_the_sentence_again_once_it_was_not_said_again() -> None:
    bench = Bench()
    bench.hear(SURE + 1)
    bench.hear(-3.0, 0.9)
    bench.heard(meant=False)
    assert bench.orders == ["Silence"]
    bench.hear(-3.0, PATIENCE - 0.8)
    assert bench.orders == ["Silence", "Repeat"]


def test_what_is_said_again_into_the_silence_is_waited_for() -> None:
    bench = Bench()
    bench.hear(SURE + 1)
    bench.hear(-3.0, 0.9)
    bench.heard(meant=False)
    bench.hear(-3.0, 0.6)
    bench.hear(-3.0, 0.5, left=-30.0)
    bench.hear(-3.0, PATIENCE - 0.1)
    assert bench.orders == ["Silence"]
    bench.heard(meant=True)
    bench.hear(-3.0, PATIENCE)
    assert bench.orders == ["Silence"]


def test_silence_after_the_voice_begins_it_again_as_well() -> None:
    bench = Bench()
    bench.hear(SURE + 1)
    bench.hear(-3.0, PATIENCE - 0.1)
    assert bench.orders == ["Silence"]
    bench.hear(-3.0, 0.2)
    assert bench.orders == ["Silence", "Repeat"]


def test_a_television_does_not_silence_him_for_ever() -> None:
    bench = Bench()
    bench.hear(SURE + 1)
    bench.hear(SURE + 1, LONGEST + 0.1, left=-30.0)
    assert bench.orders == ["Silence", "Repeat"]
    bench.said_again()
    bench.hear(SURE + 1, 0.3)
    assert bench.orders[2:] == ["Duck"], "it takes a surer voice the second time"
    bench.hear(SURE + SURER + 1)
    bench.heard(meant=False)
    bench.hear(-3.0, PATIENCE + 0.1)
    assert bench.orders[3:] == ["Silence", "Restore", "Repeat"]
    assert REPEATS == 2
    bench.said_again()
    bench.hear(99.0, 1.0)
    assert bench.orders[6:] == ["Duck"], "the third time he speaks to the end"


def test_what_may_not_be_interrupted_is_turned_down_only() -> None:
    bench = Bench(interruptible=False)
    bench.hear(99.0, 1.0)
    assert bench.orders == ["Duck"]
    bench.take(bench.cut_in.coach_ended(bench.at))
    assert bench.orders == ["Duck", "Restore"]


def test_a_canceller_that_has_not_learned_the_room_decides_nothing() -> None:
    bench = Bench()
    bench.hear(99.0, 1.0, trusted=False)
    assert bench.orders == []


def test_nobody_is_silenced_who_does_not_speak() -> None:
    bench = Bench()
    bench.take(bench.cut_in.coach_ended(bench.at))
    bench.hear(99.0, 1.0)
    assert bench.orders == []
