"""The loudspeaker: speech and marks through a sounddevice stream, timed by its audio clock.

The stream's callback mixes (see `mixer`), tells the `Timeline` when its frames will be heard, and
does nothing else. A keeper thread watches that callbacks come. Where they stop, the device counts
as lost: the mixer is then driven by the clock alone, unheard, so that no line and no mark is left
hanging, until the device can be opened again.
"""

from __future__ import annotations

import contextlib
import logging
import threading
import time
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from assistant.errors import SpeakingError
from assistant.speaking.dryness import Dryness, Verdict
from assistant.speaking.finished import Finished
from assistant.speaking.mixer import End, Mixer, Span
from assistant.speaking.output_stream import Device, OutputStream, look_for_devices
from assistant.speaking.port import Sound
from assistant.speaking.tap import Tap
from assistant.speaking.timeline import Timeline

_log = logging.getLogger(__name__)

LATENCY = 0.03
"""Seconds of sound asked to be buffered. Less runs dry when the recogniser is busy; more delays
every answer and every falling silent. Measured by `tests/bench/marks.py`."""

LONGEST = 0.2
"""Seconds beyond which a buffer that runs dry is not lengthened further."""

SILENCE = 0.6
"""Seconds without a callback that mean that the device is gone."""

RETRY = 0.5
"""Seconds between two tries to open a lost device again."""

ROUND = 0.1
"""Seconds between two looks of the keeper at the device."""

LOST_ROUND = 0.02
"""The same without a device: how finely time passes then."""


class Player:
    """The `Loudspeaker` over a real device.

    `clock` gives session seconds and runs as fast as real seconds do. `device` is a number or a
    part of a name as `cuewalk devices` lists them, None the system's default. Raises SpeakingError
    where it can not be opened.

    `on_lost()` and `on_found()` are called from the keeper's thread; `on_played(samples, at)` from
    a thread of its own with what was sent to the device, 16 kHz int16, its first sample being
    heard at `at`: the reference for an echo canceller. Speech of which any part was played to no
    device ends as not whole.
    """

    def __init__(
        self,
        clock: Callable[[], float],
        device: Device = None,
        *,
        on_lost: Callable[[], None] = lambda: None,
        on_found: Callable[[], None] = lambda: None,
        on_played: Callable[[NDArray[np.int16], float], None] | None = None,
        latency: float = LATENCY,
    ) -> None:
        self._clock = clock
        self._device = device
        self._latency = latency
        self._on_lost, self._on_found = on_lost, on_found
        self._mixing = threading.Lock()
        """Held while frames are mixed: by the callback, or by the keeper where there is none."""
        self._dry = 0
        self._dryness = Dryness()
        self._stream: OutputStream | None = None
        self._gone = False
        """It has been told that the device is gone, and not yet that it is back."""
        self._timeline = Timeline(48_000)
        self._mixer = Mixer(self._timeline)
        self._tap = Tap(on_played) if on_played is not None else None
        self._finished = Finished(clock)
        try:
            self._open()
        except SpeakingError:
            self._end_threads()
            raise
        self._closing = threading.Event()
        self._keeper = threading.Thread(target=self._keep, name="loudspeaker", daemon=True)
        self._keeper.start()

    def say(self, sound: Sound, tag: str, ends_at: float | None = None) -> None:
        self._mixer.say(sound, tag, ends_at)

    def mark(self, sound: Sound, at: float, tag: str) -> None:
        self._mixer.mark(sound, at, tag)

    def hush(self) -> None:
        self._mixer.hush()

    def drop_marks(self) -> None:
        self._mixer.drop_marks()

    def set_volume(self, volume: float) -> None:
        self._mixer.set_volume(volume)

    def on_finished(self, call: Callable[[str, bool], None]) -> None:
        """Call back from a thread of the player's when the last sound has left the device."""
        self._finished.call(call)

    def now_saying(self, at: float, after: float = 0.0) -> list[Span]:
        """The lines that are heard at a time, or ended less than `after` seconds before it."""
        return self._mixer.saying(at, after)

    @property
    def lost(self) -> bool:
        """There is no device now, or none that plays."""
        return self._gone

    @property
    def latency(self) -> float:
        """Seconds from mixing a frame to hearing it, as the device tells."""
        return self._timeline.time_of(self._mixer.frame) - self._clock()

    @property
    def dry(self) -> int:
        """How often the device ran dry since the start, as far as it tells."""
        stream = self._stream
        return self._dry + (stream.dry if stream is not None else 0)

    def close(self) -> None:
        """Stop at once. Speech under way gets no call back."""
        self._closing.set()
        self._keeper.join()
        self._shut()
        self._end_threads()

    def _open(self) -> None:
        stream = OutputStream(self._device, self._latency)
        with self._mixing:
            self._mixer.change_rate(stream.rate)
            self._timeline.restart()
            if self._tap is not None:
                self._tap.restart(stream.rate)
            self._stream = stream
        self._dryness.opened(time.monotonic())
        stream.play(self._fill)

    def _fill(self, out: NDArray[np.float32], delay: float, dry: bool) -> None:
        # The lock is free but for a moment at a change of device; the callback never waits.
        if self._mixing.acquire(blocking=False):
            try:
                self._play(out, delay, dry)
            finally:
                self._mixing.release()

    def _play(self, out: NDArray[np.float32], delay: float, dry: bool) -> None:
        """One block, in the sound card's thread."""
        if dry:
            # What follows is later than it would have been, nobody knows by how much.
            self._timeline.restart()
        first = self._mixer.frame
        self._timeline.observe(first, self._clock() + (delay if delay >= 0 else self._latency))
        self._tell(self._mixer.fill(len(out), out))
        if self._tap is not None:
            self._tap.put(out.copy(), self._timeline.time_of(first))

    def _tell(self, ends: list[End]) -> None:
        for end in ends:
            self._finished.put(end.tag, end.whole, self._timeline.time_of(end.frame))

    def _keep(self) -> None:
        tried = 0.0
        while not self._closing.wait(LOST_ROUND if self._stream is None else ROUND):
            now = time.monotonic()
            stream = self._stream
            if stream is None:
                self._pass_time()
                if now - tried > RETRY:
                    tried = now
                    look_for_devices()
                    self._reopen()
            elif self._gone and stream.asked:
                _log.info("the loudspeaker is found")
                self._gone = False
                self._on_found()
            elif stream.silent_for() > SILENCE:
                self._shut()
                self._lose()
            elif self._too_dry(self._dryness.verdict(now, stream.dry)):
                self._latency = min(LONGEST, self._latency * 1.5)
                _log.info("the loudspeaker ran dry; %.3f s are buffered now", self._latency)
                self._shut()
                if not self._reopen():
                    self._lose()

    def _lose(self) -> None:
        if not self._gone:
            _log.info("the loudspeaker is lost")
            self._gone = True
            self._on_lost()

    def _too_dry(self, verdict: Verdict) -> bool:
        """Opening anew makes a gap too: only where nothing sounds, or all is lost anyway."""
        if self._latency >= LONGEST:
            return False
        return verdict is Verdict.ALWAYS or (verdict is Verdict.OFTEN and not self._mixer.sounding)

    def _pass_time(self) -> None:
        """Drive the mixer without a device, up to now."""
        with self._mixing:
            count = self._timeline.frame_of(self._clock()) - self._mixer.frame
            if count > 0:
                self._tell(self._mixer.fill(count, None))

    def _reopen(self) -> bool:
        with contextlib.suppress(SpeakingError):
            self._open()
            return True
        return False

    def _shut(self) -> None:
        stream, self._stream = self._stream, None
        if stream is not None:
            self._dry += stream.dry
            stream.close()

    def _end_threads(self) -> None:
        self._finished.close()
        if self._tap is not None:
            self._tap.close()
