"""Listening in the room with times: what was heard, on the steady clock of the machine."""

from __future__ import annotations

import contextlib
import os
import subprocess
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from tests.room.virtual_room import RATE, VirtualRoom

CHUNK = 0.01
"""Seconds that the recorder asks for at a time. A sink of the room works in pieces of this length
and hands each on when it BEGINS, so a recording is early by up to this."""

WINDOW = 4.0
"""Seconds in which at least one piece arrives without delay."""


@dataclass
class Heard:
    """Samples (full scale 1) with the time of the first, once the block of `listening` ended.

    `rate` is how many there are in a second of the machine's clock: a sink's second is its own.
    """

    began: float = 0.0
    rate: float = RATE
    samples: NDArray[np.float64] = field(default_factory=lambda: np.zeros(0))

    def time_of(self, index: int) -> float:
        return self.began + index / self.rate

    def index_of(self, moment: float) -> int:
        return max(0, round((moment - self.began) * self.rate))

    def sounds(self, above: float = 0.05, gap: float = 0.03) -> list[tuple[float, float]]:
        """Begin and end of each sound that a silence of `gap` seconds follows."""
        loud = np.flatnonzero(np.abs(self.samples) > above)
        if not len(loud):
            return []
        breaks = np.diff(loud) > gap * self.rate
        begins = loud[np.r_[True, breaks]]
        ends = loud[np.r_[breaks, True]]
        return [
            (self.time_of(begin), self.time_of(end + 1))
            for begin, end in zip(begins.tolist(), ends.tolist(), strict=True)
        ]

    def level(self, begin: float, end: float) -> float:
        """Root mean square between two times."""
        piece = self.samples[self.index_of(begin) : self.index_of(end)]
        return float(np.sqrt(np.mean(piece**2))) if len(piece) else 0.0


@contextlib.contextmanager
def listening(room: VirtualRoom, source: str = "room.monitor") -> Iterator[Heard]:
    """Hear what the loudspeaker plays while the block runs."""
    recorder = subprocess.Popen(
        [
            "parec",
            f"--device={source}",
            "--channels=1",
            "--format=s16le",
            f"--rate={RATE}",
            f"--latency-msec={round(CHUNK * 1000)}",
            "--raw",
        ],
        env=room.env,
        stdout=subprocess.PIPE,
    )
    heard = Heard()
    pieces: list[bytes] = []
    arrivals: list[tuple[float, int]] = []
    first = threading.Event()

    def read() -> None:
        assert recorder.stdout is not None
        count = 0
        while piece := os.read(recorder.stdout.fileno(), 1 << 16):
            pieces.append(piece)
            count += len(piece)
            arrivals.append((time.monotonic(), count // 2))
            first.set()

    thread = threading.Thread(target=read, daemon=True)
    thread.start()
    try:
        if not first.wait(10):
            raise RuntimeError("the recorder hears nothing")
        yield heard
        # What was played last is still on its way.
        time.sleep(0.1)
    finally:
        recorder.terminate()
        recorder.wait(10)
        thread.join(10)
        data = b"".join(pieces)
        heard.samples = np.frombuffer(data[: len(data) // 2 * 2], np.int16) / 32768
        heard.began, heard.rate = _clock(np.array(arrivals))


def _clock(arrivals: NDArray[np.float64]) -> tuple[float, float]:
    """Time of the first sample, and samples a second, from (time, samples so far) of each piece.

    A sample can not arrive before it was played, so the earliest arrivals are the truest; the rate
    is told from them where the recording is long enough.
    """
    times, counts = arrivals.T
    lags = times - counts / RATE
    rate = float(RATE)
    windows = np.array_split(np.arange(len(lags)), max(1, int((times[-1] - times[0]) / WINDOW)))
    if len(windows) >= 4:
        best = np.array([window[np.argmin(lags[window])] for window in windows])
        slope = np.polyfit(counts[best] / RATE, lags[best], 1)[0]
        rate = RATE / (1 + slope)
    return float((times - counts / rate).min()), rate
