"""Tells that speech ended at the moment when its last sound has left, from a thread of its own."""

from __future__ import annotations

import heapq
import itertools
import logging
import queue
import threading
from collections.abc import Callable

_log = logging.getLogger(__name__)


class Finished:
    """Calls back with (tag, whole) when `clock`, a clock of real seconds, reaches each end."""

    def __init__(self, clock: Callable[[], float]) -> None:
        self._clock = clock
        self._calls: list[Callable[[str, bool], None]] = []
        self._inbox: queue.SimpleQueue[tuple[float, str, bool] | None] = queue.SimpleQueue()
        self._thread = threading.Thread(target=self._run, name="speech-finished", daemon=True)
        self._thread.start()

    def call(self, call: Callable[[str, bool], None]) -> None:
        self._calls.append(call)

    def put(self, tag: str, whole: bool, at: float) -> None:
        """This speech ends, or ended, at this time. Never waits: the sound card's thread calls."""
        self._inbox.put((at, tag, whole))

    def close(self) -> None:
        """Stop calling back; what is waiting is forgotten."""
        self._inbox.put(None)
        if threading.current_thread() is not self._thread:
            self._thread.join()

    def _run(self) -> None:
        waiting: list[tuple[float, int, str, bool]] = []
        order = itertools.count()
        while True:
            left = max(0.0, waiting[0][0] - self._clock()) if waiting else None
            try:
                told = self._inbox.get(timeout=left)
            except queue.Empty:
                _, _, tag, whole = heapq.heappop(waiting)
                self._tell(tag, whole)
                continue
            if told is None:
                return
            at, tag, whole = told
            heapq.heappush(waiting, (at, next(order), tag, whole))

    def _tell(self, tag: str, whole: bool) -> None:
        for call in self._calls:
            try:
                call(tag, whole)
            except Exception:
                # One listener's fault must neither silence the others nor end this thread.
                _log.exception("told of the end of %s, a listener failed", tag)
