"""A loudspeaker that can be interrupted: silent at once, and nothing is lost of what it had to say.

It stands before another loudspeaker and keeps what that has not finished. After `silence` whatever
comes is kept as well; `go_on` says all of it, the interrupted line from its beginning. And it does
not interrupt either: after `wait` a line that comes is kept until `go_on`. Whoever ordered the
lines does not notice: a line counts as finished only when it was said, or hushed.

>>> import numpy as np
>>> from assistant.speaking.silent import SilentLoudspeaker
>>> now = [0.0]
>>> silent = SilentLoudspeaker(lambda: now[0], threaded=False)
>>> speaker = Interruptible(silent)
>>> speaker.on_finished(lambda tag, whole: print(tag, whole))
>>> speaker.say(Sound(np.zeros(8000, np.int16), 8000), "a sentence")
>>> now[0] = 0.5; silent.advance(); speaker.silence()
>>> now[0] = 5.0; silent.advance(); speaker.go_on()
>>> now[0] = 5.9; silent.advance()
>>> now[0] = 6.1; silent.advance()
a sentence True
"""

from __future__ import annotations

import threading
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field

from assistant.speaking.port import Loudspeaker, Sound

DUCKED = 0.4
"""Share of the volume, as perceived, while the coach is turned down."""


@dataclass
class _Line:
    sound: Sound
    ends_at: float | None


@dataclass
class Interruptible:
    """The `Loudspeaker` over another one. Every method may be called from any thread."""

    loudspeaker: Loudspeaker
    _lines: dict[str, _Line] = field(default_factory=dict)
    """What was ordered and has not finished, by tag, in order."""
    _silenced: bool = False
    _waiting: bool = False
    """Somebody else is speaking, and nothing was being said when that began."""
    _interrupted: Counter[str] = field(default_factory=Counter)
    """Ends of lines that are still to come, and are none."""
    _volume: float = 1.0
    _lock: threading.Lock = field(default_factory=threading.Lock)
    _finished: Callable[[str, bool], None] = lambda tag, whole: None

    def __post_init__(self) -> None:
        self.loudspeaker.on_finished(self._ended)

    def say(self, sound: Sound, tag: str, ends_at: float | None = None) -> None:
        with self._lock:
            self._lines[tag] = line = _Line(sound, ends_at)
            if not self._keeps(line):
                self.loudspeaker.say(sound, tag, ends_at)

    def mark(self, sound: Sound, at: float, tag: str) -> None:
        self.loudspeaker.mark(sound, at, tag)

    def hush(self) -> None:
        with self._lock:
            # What is being said is hushed by the loudspeaker, which tells of its end itself.
            dropped = [tag for tag, line in self._lines.items() if self._keeps(line)]
            self._silenced = self._waiting = False
            self.loudspeaker.hush()
        self._drop(dropped)

    def drop_marks(self) -> None:
        self.loudspeaker.drop_marks()

    def on_finished(self, call: Callable[[str, bool], None]) -> None:
        self._finished = call

    def set_volume(self, volume: float) -> None:
        self._volume = volume
        self.loudspeaker.set_volume(volume)

    def close(self) -> None:
        self.loudspeaker.close()

    def silence(self) -> None:
        """Fall silent; what is under way and what waits is kept."""
        with self._lock:
            if self._silenced or self._waiting or not self._lines:
                return
            self._silenced = True
            self._interrupted.update(list(self._lines))
            self.loudspeaker.hush()

    def wait(self) -> None:
        """Begin nothing for now; where something is being said already, that goes on."""
        with self._lock:
            self._waiting = self._waiting or not self._lines

    @property
    def waiting(self) -> bool:
        """Whether it was told to `wait`, and not yet to go on."""
        return self._waiting

    def go_on(self) -> None:
        """Say what was kept. A line that had its moment is dropped: that moment has passed."""
        with self._lock:
            if not self._silenced and not self._waiting:
                return
            timed = [tag for tag, line in self._lines.items() if line.ends_at is not None]
            # While it only waited these were said.
            dropped = timed if self._silenced else []
            self._silenced = self._waiting = False
            for tag, line in self._lines.items():
                if line.ends_at is None:
                    self.loudspeaker.say(line.sound, tag)
        self._drop(dropped)

    def duck(self) -> None:
        """Turn down for a moment."""
        self.loudspeaker.set_volume(self._volume * DUCKED)

    def restore(self) -> None:
        """Turn up again."""
        self.loudspeaker.set_volume(self._volume)

    def _keeps(self, line: _Line) -> bool:
        """Whether a line is kept back now. What has its moment does not wait for others."""
        return self._silenced or (self._waiting and line.ends_at is None)

    def _drop(self, tags: list[str]) -> None:
        for tag in tags:
            with self._lock:
                self._lines.pop(tag, None)
            self._finished(tag, False)

    def _ended(self, tag: str, whole: bool) -> None:
        with self._lock:
            if self._interrupted[tag]:
                self._interrupted[tag] -= 1
                # It may have ended by itself just when it was to be interrupted.
                if not whole:
                    return
            self._lines.pop(tag, None)
        self._finished(tag, whole)
