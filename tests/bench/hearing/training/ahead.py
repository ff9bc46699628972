"""What is learnt from next, made while the network learns from what came before."""

from __future__ import annotations

import queue
import threading
from collections.abc import Callable, Iterator
from typing import TypeVar

import numpy as np

Made = TypeVar("Made")

AHEAD = 6


def made_ahead(make: Callable[[np.random.Generator], Made], seed: int) -> Iterator[Made]:
    """What `make` makes, for ever; at most `AHEAD` wait."""
    ahead: queue.Queue[Made] = queue.Queue(AHEAD)

    def feed() -> None:
        rng = np.random.default_rng(seed)
        while True:
            ahead.put(make(rng))

    threading.Thread(target=feed, daemon=True).start()
    while True:
        yield ahead.get()
