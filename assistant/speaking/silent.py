"""A loudspeaker without a device: everything happens when it would, and nothing is heard.

For typed sessions, demonstrations and tests. Its clock may be simulated, run fast, or jump: what
happened by then is worked out from the clock, never from sleeping.

    >>> import numpy as np
    >>> now = [0.0]
    >>> speaker = SilentLoudspeaker(lambda: now[0], threaded=False)
    >>> speaker.on_finished(lambda tag, whole: print(tag, whole))
    >>> speaker.say(Sound(np.zeros(8000, np.int16), 8000), "hello")
    >>> speaker.next_end()
    1.0
    >>> now[0] = 2.0
    >>> speaker.advance()
    hello True
"""

from __future__ import annotations

import threading
import wave
from collections.abc import Callable
from pathlib import Path
from typing import IO

import numpy as np

from assistant.errors import SpeakingError
from assistant.speaking.mixer import End, Mixer, Span
from assistant.speaking.port import Sound
from assistant.speaking.timeline import Timeline

RATE = 16_000
"""Frames a second of the mix: fine enough for times, and what a file gets."""

POLL = 0.005
"""Seconds between two looks at the clock while something is being said."""

STEP = 10.0
"""Most seconds mixed at once into a file."""


class SilentLoudspeaker:
    """The `Loudspeaker` that only keeps time; with `file`, the mix is written there as WAV.

    `threaded` looks at the clock by itself and calls back from a thread of its own; without it,
    call `advance` whenever the clock has moved. Raises SpeakingError where `file` can not be
    written.
    """

    def __init__(
        self, clock: Callable[[], float], *, threaded: bool = True, file: Path | None = None
    ) -> None:
        self._clock = clock
        self._timeline = Timeline(RATE)
        self._timeline.observe(0, clock())
        self._mixer = Mixer(self._timeline)
        self._calls: list[Callable[[str, bool], None]] = []
        self._ended: list[End] = []
        """Ended, and not told yet."""
        self._lock = threading.Lock()
        self._work = threading.Event()
        self._closed = False
        self._raw: IO[bytes] | None = None
        self._wave: wave.Wave_write | None = None
        if file is not None:
            self._open(file)
        self._thread: threading.Thread | None = None
        if threaded:
            self._thread = threading.Thread(target=self._run, name="silent", daemon=True)
            self._thread.start()

    def say(self, sound: Sound, tag: str, ends_at: float | None = None) -> None:
        self._order(lambda: self._mixer.say(sound, tag, ends_at))

    def mark(self, sound: Sound, at: float, tag: str) -> None:
        self._order(lambda: self._mixer.mark(sound, at, tag))

    def hush(self) -> None:
        self._order(self._mixer.hush)

    def drop_marks(self) -> None:
        self._order(self._mixer.drop_marks)

    def set_volume(self, volume: float) -> None:
        self._order(lambda: self._mixer.set_volume(volume))

    def on_finished(self, call: Callable[[str, bool], None]) -> None:
        self._calls.append(call)

    def now_saying(self, at: float, after: float = 0.0) -> list[Span]:
        """The lines that are said at a time, or ended less than `after` seconds before it."""
        return self._mixer.saying(at, after)

    def next_end(self) -> float | None:
        """When the line under way ends: until then nothing is told. None where there is none."""
        with self._lock:
            return self._mixer.next_end()

    def advance(self) -> None:
        """Let happen what the clock says has happened, and tell of it."""
        with self._lock:
            self._pass_time()
            ended, self._ended = self._ended, []
        for end in ended:
            for call in self._calls:
                call(end.tag, end.whole)

    def close(self) -> None:
        """Stop; a file is complete then."""
        self._closed = True
        self._work.set()
        if self._thread is not None and self._thread is not threading.current_thread():
            self._thread.join()
        self.advance()
        with self._lock:
            if self._wave is not None:
                self._wave.close()
            if self._raw is not None:
                self._raw.close()
            self._wave = self._raw = None

    def _order(self, order: Callable[[], None]) -> None:
        with self._lock:
            # First what was before the order, so that it counts from now, not from the last look.
            self._pass_time()
            order()
            self._pass(0)
        self._work.set()

    def _pass_time(self) -> None:
        while (count := self._timeline.frame_of(self._clock()) - self._mixer.frame) > 0:
            self._pass(min(count, round(STEP * RATE)))

    def _pass(self, count: int) -> None:
        out = np.zeros(count, np.float32)
        self._ended += self._mixer.fill(count, out)
        if self._wave is not None and count:
            self._wave.writeframes((out * 32767).astype("<i2").tobytes())

    def _run(self) -> None:
        while not self._closed:
            self.advance()
            self._work.wait(POLL if self._mixer.busy else None)
            self._work.clear()

    def _open(self, file: Path) -> None:
        try:
            self._raw = file.open("wb")
        except OSError as why:
            raise SpeakingError(
                f"The sound can not be written to {file} ({why.strerror}); choose another file."
            ) from why
        self._wave = wave.open(self._raw)  # noqa: SIM115
        self._wave.setnchannels(1)
        self._wave.setsampwidth(2)
        self._wave.setframerate(RATE)
