"""What was played, at 16 kHz, for whoever must take it out of what is heard again."""

from __future__ import annotations

import queue
import threading
from collections.abc import Callable

import numpy as np
import soxr
from numpy.typing import NDArray

RATE = 16_000
"""Samples a second of what is passed on."""


class Tap:
    """Resamples blocks of float samples on a thread of its own and passes them on with times."""

    def __init__(self, on_played: Callable[[NDArray[np.int16], float], None]) -> None:
        self._on_played = on_played
        self._inbox: queue.SimpleQueue[tuple[NDArray[np.float32], float] | int | None] = (
            queue.SimpleQueue()
        )
        self._thread = threading.Thread(target=self._run, name="played", daemon=True)
        self._thread.start()

    def put(self, samples: NDArray[np.float32], at: float) -> None:
        """Samples whose first is heard at `at`. Never waits."""
        self._inbox.put((samples, at))

    def restart(self, rate: int) -> None:
        """What follows is at this rate, and is no continuation. Comes before the first `put`."""
        self._inbox.put(rate)

    def close(self) -> None:
        self._inbox.put(None)
        self._thread.join()

    def _run(self) -> None:
        stream, given, taken, rate = None, 0, 0, RATE
        while (told := self._inbox.get()) is not None:
            if isinstance(told, int):
                stream, given, taken, rate = soxr.ResampleStream(told, RATE, 1), 0, 0, told
                continue
            assert stream is not None
            samples, at = told
            made = stream.resample_chunk(samples)
            if len(made):
                # The resampler holds some samples back: what comes out began that much earlier.
                began = at - (given / rate - taken / RATE)
                scaled = np.clip(made * 32767, -32768, 32767).astype(np.int16)
                self._on_played(scaled, began)
            given, taken = given + len(samples), taken + len(made)
