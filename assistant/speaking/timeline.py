"""Which frame of the sound sounds when: the map between the audio clock and the session's clock.

A loudspeaker says, each time it asks for sound, when about the first of the new frames will be
heard. These tellings jump by milliseconds, while the frames themselves flow evenly, and a sound
card's second is not quite the clock's. So the map follows the tellings slowly: marks a second
apart are a second apart, and still right after an hour.

    >>> line = Timeline(rate=1000)
    >>> for block in range(100):
    ...     line.observe(block * 10, 5.0 + block * 0.010)
    >>> line.frame_of(6.0), line.time_of(1000)
    (1000, 6.0)
"""

from __future__ import annotations

WARM_UP = 0.25
"""Seconds after a start whose tellings are not trusted: the device fills its buffer at once."""

SETTLE = 1.0
"""Seconds after a start until which the map is simply the mean of what was told since."""

SLEW = 0.002
"""The most that a settled map moves, in seconds for each second of sound: no ear tells it between
two marks, and it is far more than the error of a sound card's crystal (some 100 millionths)."""

SLOWNESS = 3.0
"""Seconds in which a settled map closes two thirds of an error."""

JUMP = 0.05
"""Seconds of steady disagreement that mean that sound was lost: the map starts anew."""

PATIENCE = 0.2
"""For how many seconds of sound the disagreement must last; less is a late telling."""


class Timeline:
    """The map, for one rate in frames a second. One thread observes; any may ask."""

    def __init__(self, rate: int) -> None:
        self.rate = rate
        self._offset = 0.0
        """Session time of frame 0, as far as known."""
        self._start: int | None = None
        self._count = 0
        self._mean = 0.0
        self._last = 0
        self._apart = 0

    def restart(self, rate: int | None = None) -> None:
        """Forget: the next telling begins a new map (another device, or the same one anew)."""
        self.rate = rate or self.rate
        self._start = None

    def observe(self, frame: int, at: float) -> None:
        """Told: `frame` will be heard at `at`."""
        told = at - frame / self.rate
        if self._start is None:
            self._start, self._last, self._count, self._apart = frame, frame, 0, 0
            self._offset = told
        seconds = (frame - self._last) / self.rate
        self._last = frame
        error = told - self._offset
        since = (frame - self._start) / self.rate
        if since < WARM_UP:
            self._offset = told
            return
        if since < SETTLE:
            self._count += 1
            self._offset += error / self._count
            return
        if abs(error) > JUMP:
            self._apart += 1
            self._mean += (error - self._mean) / self._apart
            if self._apart * seconds > PATIENCE:
                self._offset += self._mean
                self._apart, self._mean = 0, 0.0
            return
        self._apart, self._mean = 0, 0.0
        step = error * min(1.0, seconds / SLOWNESS)
        limit = SLEW * seconds
        self._offset += min(limit, max(-limit, step))

    def time_of(self, frame: int) -> float:
        """When a frame is heard, on the session's clock."""
        return self._offset + frame / self.rate

    def frame_of(self, at: float) -> int:
        """The frame that is heard at a time."""
        return round((at - self._offset) * self.rate)
