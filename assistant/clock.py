"""The session's clock: seconds since it began, from the computer's steady clock."""

from __future__ import annotations

import time
from collections.abc import Callable


class SessionClock:
    """Seconds since `start`, `speed` times as fast as the wall's.

    A computer that slept shows as a jump: `slept()` tells how long the last one was, since the
    steady clock of some systems stops in sleep and that of others does not.
    """

    def __init__(
        self,
        start: float = 0.0,
        speed: float = 1.0,
        steady: Callable[[], float] = time.monotonic,
        wall: Callable[[], float] = time.time,
    ) -> None:
        self._steady, self._wall = steady, wall
        self._origin = steady()
        self._wall_seen = wall()
        self._steady_seen = self._origin
        self.start = start
        self.speed = speed
        self._held: float | None = None

    def now(self) -> float:
        if self._held is not None:
            return self._held
        return self.start + (self._steady() - self._origin) * self.speed

    def hold(self, at: float | None = None) -> None:
        """Stand still until `go`, at a moment just past where one is given."""
        if self._held is None:
            self._held = self.now() if at is None else at

    def go(self) -> None:
        """Run on from where it stood."""
        if self._held is not None:
            self.start, self._origin = self._held, self._steady()
            self._held = None

    def take_back(self, seconds: float) -> None:
        """Set back by wall seconds in which nobody was there: they are no time of the session."""
        self.start -= seconds * self.speed

    def wait_for(self, seconds: float) -> float:
        """Wall seconds that a wait of session seconds takes."""
        return max(0.0, seconds / self.speed)

    def slept(self) -> float:
        """Wall seconds that passed without the steady clock since the last call (0 if none)."""
        wall, steady = self._wall(), self._steady()
        gap = (wall - self._wall_seen) - (steady - self._steady_seen)
        self._wall_seen, self._steady_seen = wall, steady
        return max(0.0, gap)
