"""Random walks through the session: whatever happens, it stays whole, and can be left.

What has to hold is in `walking.py` and `account.py`. `python -m tests.bench.walks` walks ten
million steps; CUEWALK_WALK_STEPS sets how many are walked here.
"""

from __future__ import annotations

import os
from random import Random

import pytest

from tests.assistant.session.walking import Seen, walk

STEPS = int(os.environ.get("CUEWALK_WALK_STEPS", "100000"))
SEEDS = 8


@pytest.mark.parametrize("seed", range(SEEDS))
def test_walks_stay_whole(seed: int) -> None:
    random, seen = Random(seed), Seen()
    while seen.steps < STEPS // SEEDS:
        walk(random, seen)
    # A walk that ends at once, or never gets to a set, would show nothing.
    assert seen.sets > seen.steps // 100
    assert seen.ended > seen.walks // 2
    assert len(seen.controls) > 1000
    assert seen.left_alone > 100
