"""What the recogniser hears while the coach speaks."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from assistant.hearing.cut_in import HINT, SURE
from assistant.hearing.echo import Cleaned, EchoCanceller
from assistant.hearing.gate import BEFORE, HOLD, OPEN, Gate
from assistant.hearing.levels import level
from assistant.hearing.listener import TimedBlock
from assistant.hearing.port import BLOCK, RATE

STEP = BLOCK / RATE


def block(number: int, coach: bool, odds: float = -4.0) -> Cleaned:
    """A block of sound at -30 dBov in a room of -60, the number being its time in blocks."""
    sound = np.full(BLOCK, 1036, np.int16)
    made = EchoCanceller().hear(sound, at=number * STEP)
    return replace(made, coach=coach, trusted=True, odds=odds, left=level(sound), noise=-60.0)


def through(gate: Gate, blocks: list[Cleaned]) -> list[TimedBlock]:
    return [passed for one in blocks for passed in gate.hear(one)]


def test_nobody_waits_while_nothing_is_played() -> None:
    out = through(Gate(), [block(n, coach=False) for n in range(5)])
    assert [round(at / STEP) for _, at in out] == [0, 1, 2, 3, 4]
    assert level(out[0][0]) == pytest.approx(-30.0, abs=0.1)


def test_the_coach_himself_comes_through_as_loud_as_the_room_only() -> None:
    out = through(Gate(), [block(n, coach=True) for n in range(HOLD + 5)])
    assert len(out) == 5
    assert all(level(sound) == pytest.approx(-60.0, abs=1.0) for sound, _ in out)


def test_a_voice_comes_through_whole_from_before_it_was_sure() -> None:
    gate = Gate()
    blocks = [block(n, coach=True) for n in range(HOLD)]
    blocks += [block(HOLD, coach=True, odds=SURE + 1)]
    out = through(gate, blocks)
    assert [round(at / STEP) for _, at in out] == list(range(HOLD + 1))
    assert [round(level(sound)) for sound, _ in out[-BEFORE - 1 :]] == [-30] * (BEFORE + 1)


def test_what_came_before_the_first_hint_of_it_is_the_coach_s_own() -> None:
    gate = Gate()
    blocks = [block(n, coach=True) for n in range(HOLD - 2)]
    blocks += [block(HOLD - 2, coach=True, odds=HINT), block(HOLD - 1, coach=True, odds=SURE)]
    out = through(gate, blocks)
    quiet = HOLD - 2 - BEFORE
    assert [round(level(sound)) for sound, _ in out] == [-60] * quiet + [-30] * (BEFORE + 2)


def test_it_stays_open_over_the_pauses_between_words() -> None:
    gate = Gate()
    through(gate, [block(0, coach=True, odds=SURE + 1)])
    count = round(OPEN / STEP) - 1
    out = through(gate, [block(n, coach=True) for n in range(1, count)])
    assert len(out) == count - 1
    assert gate.hear(block(count + 5, coach=True)) == []


def test_every_block_comes_out_once_and_in_order() -> None:
    rng = np.random.default_rng(1)
    gate = Gate()
    blocks = [
        block(n, coach=bool(rng.random() < 0.7), odds=float(rng.normal(0, 3))) for n in range(300)
    ]
    out = through(gate, [*blocks, block(300, coach=False)])
    assert [round(at / STEP) for _, at in out] == list(range(301))
