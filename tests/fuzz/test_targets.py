"""A few hundred inputs of each target; `python -m tests.fuzz` runs a million."""

from __future__ import annotations

import time
from random import Random

import pytest

from tests.fuzz.mutate import mutate
from tests.fuzz.targets import TARGETS

QUICK = {"record": 6, "phrases": 20, "typed": 40, "catalogue": 100}
"""Inputs of the slow ones; the others get 200."""


@pytest.mark.parametrize("name", TARGETS)
def test_no_input_is_worse_than_an_error_to_read(name: str) -> None:
    target, random = TARGETS[name], Random(20251125)
    seeds = target.seeds()
    for seed in seeds:
        target.run(seed)
    for _ in range(QUICK.get(name, 200)):
        data = mutate(random, seeds, target.words, target.longest)
        began = time.process_time()
        target.run(data)
        assert time.process_time() - began < 10, f"it takes too long to read {data!r}"


FOUND = {
    # What was found by fuzzing once, each mended.
    "voice": (
        b"RIFFD\x03\x00\x00WAVEfmt4294967296",
        b"FORM\0\0\0\x36AIFFCOMM\0\0\0\x12" + b"\xff" * 18,
    ),
    "catalogue": (
        b'[[skill]]\nid = "bala\\u202ence"\n[[movement]]\nid = "m"\nskill = "balance"\n',
    ),
    "typed": (b"\7" + b"six " * 2000, b"\7" + b"please " * 700, b"\7" + b"9" * 5000),
}


@pytest.mark.parametrize("name", FOUND)
def test_what_was_found_stays_mended(name: str) -> None:
    for data in FOUND[name]:
        TARGETS[name].run(data)
