"""The loudspeaker: speech and marks through a sounddevice stream, timed by its audio clock.

The stream's callback mixes (see `mixer`), tells the `Timeline` when its frames will be heard, and
does nothing else. A keeper thread watches that callbacks come; where they stop, the device counts
as lost: the mixer is then driven by the clock alone, unheard, so that no line and no mark stays
behind, until the device can be opened again.
"""

from __future__ import annotations

import contextlib
import logging
import threading
import time
from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from assistant.errors import SpeakingError
from assistant.speaking.finished import Finished
from assistant.speaking.mixer import Mixer, Span
from assistant.speaking.port import Sound
from assistant.speaking.tap import Tap
from assistant.speaking.timeline import Timeline

_log = logging.getLogger(__name__)

BLOCK = 0.01
"""Seconds in one block of the stream."""

LATENCY = 0.06
"""Seconds of sound asked to be buffered. Less underruns when the recogniser is busy; more delays
every answer and every falling silent."""

SILENCE = 0.6
"""Seconds without a callback that mean that the device is gone."""

RETRY = 0.5
"""Seconds between two tries to open a lost device again."""

Device = int | str | None


class Player:
    """The `Loudspeaker` over a real device.

    `clock` gives session seconds and runs as fast as real seconds do. `device` is a number or a
    part of a name as `cuewalk devices` lists them, None the system's default. Raises SpeakingError
    where it can not be opened.

    `on_lost()` and `on_found()` are called from the keeper's thread; `on_played(samples, at)` from
    a thread of its own with what was sent to the device, 16 kHz int16, its first sample being
    heard at `at`: the reference for an echo canceller.
    """

    def __init__(
        self,
        clock: Callable[[], float],
        device: Device = None,
        *,
        on_lost: Callable[[], None] | None = None,
        on_found: Callable[[], None] | None = None,
        on_played: Callable[[NDArray[np.int16], float], None] | None = None,
        latency: float = LATENCY,
    ) -> None:
        self._clock = clock
        self._device = device
        self._latency = latency
        self._on_lost, self._on_found = on_lost, on_found
        self._beat = 0.0
        self._buffer = np.zeros(1, np.float32)
        self._mixing = threading.Lock()
        self._generation = 0
        self._stream: Any = None
        self.underruns = 0
        """How often the device ran dry, as far as it tells."""
        rate = _default_rate(device)
        self._timeline = Timeline(rate)
        self._mixer = Mixer(self._timeline)
        self._tap = Tap(on_played, rate) if on_played is not None else None
        self._open(rate)
        self._finished = Finished(clock)
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

    def on_finished(self, call: Callable[[str, bool], None]) -> None:
        self._finished.call(call)

    def set_volume(self, volume: float) -> None:
        self._mixer.set_volume(volume)

    def now_saying(self, at: float, after: float = 0.0) -> list[Span]:
        """The lines that are heard at a time, or ended less than `after` seconds before it."""
        return self._mixer.saying(at, after)

    @property
    def lost(self) -> bool:
        return self._stream is None

    @property
    def latency(self) -> float:
        """Seconds from an order to its sound, as the device tells."""
        return self._timeline.time_of(self._mixer.frame) - self._clock()

    def close(self) -> None:
        """Stop at once. Speech under way gets no further call back."""
        self._closing.set()
        self._keeper.join()
        self._shut()
        self._finished.close()
        if self._tap is not None:
            self._tap.close()

    def _open(self, rate: int) -> None:
        sounddevice = _sounddevice()
        self._generation += 1
        generation = self._generation
        self._mixer.change_rate(rate)
        self._timeline.restart(rate)
        self._buffer = np.zeros(rate, np.float32)
        if self._tap is not None:
            self._tap.restart(rate)

        def callback(out: NDArray[np.float32], frames: int, when: Any, status: Any) -> None:
            if generation != self._generation or not self._mixing.acquire(blocking=False):
                out.fill(0)
                return
            try:
                self._play(out, frames, when.outputBufferDacTime - when.currentTime, status)
            finally:
                self._mixing.release()

        failure: Exception | None = None
        for channels in (1, 2):
            try:
                stream = sounddevice.OutputStream(
                    samplerate=rate,
                    blocksize=round(BLOCK * rate),
                    device=self._device,
                    channels=channels,
                    dtype="float32",
                    latency=self._latency,
                    callback=callback,
                )
                self._beat = time.monotonic()
                stream.start()
            except (sounddevice.PortAudioError, ValueError) as why:
                failure = failure or why
                continue
            self._stream = stream
            return
        raise SpeakingError(
            f"The loudspeaker {self._device if self._device is not None else '(default)'!s} can "
            f"not be opened ({failure}); `cuewalk devices` lists what there is."
        ) from failure

    def _play(self, out: NDArray[np.float32], frames: int, delay: float, status: Any) -> None:
        """One block, in the sound card's thread."""
        self._beat = time.monotonic()
        if status.output_underflow:
            self.underruns += 1
        first = self._mixer.frame
        # Some back ends tell no time at all; the latency asked for is then the best guess.
        told = delay if 0.0 < delay < 2.0 else self._latency
        self._timeline.observe(first, self._clock() + told)
        mixed = self._buffer[:frames]
        mixed.fill(0)
        for end in self._mixer.fill(frames, mixed):
            self._finished.put(end.tag, end.whole, self._timeline.time_of(end.frame))
        out[:] = mixed[:, None]
        if self._tap is not None:
            self._tap.put(mixed.copy(), self._timeline.time_of(first))

    def _keep(self) -> None:
        tried = 0.0
        while not self._closing.wait(0.02):
            if self._stream is not None:
                if self._stream.active and time.monotonic() - self._beat < SILENCE:
                    continue
                _log.info("the loudspeaker is lost")
                self._shut()
                self._call(self._on_lost)
            self._pass_time()
            if time.monotonic() - tried > RETRY:
                tried = time.monotonic()
                if self._reopen():
                    _log.info("the loudspeaker is found")
                    self._call(self._on_found)

    def _pass_time(self) -> None:
        """Drive the mixer without a device, up to now."""
        with self._mixing:
            count = self._timeline.frame_of(self._clock()) - self._mixer.frame
            if count > 0:
                for end in self._mixer.fill(count, None):
                    self._finished.put(end.tag, end.whole, self._timeline.time_of(end.frame))

    def _reopen(self) -> bool:
        with contextlib.suppress(SpeakingError):
            self._open(_default_rate(self._device))
            return True
        return False

    def _shut(self) -> None:
        """Close the stream; on a thread of its own, since a dead device may never answer."""
        self._generation += 1
        stream, self._stream = self._stream, None
        if stream is None:
            return

        def close() -> None:
            with contextlib.suppress(Exception):
                stream.abort()
            with contextlib.suppress(Exception):
                stream.close()

        closer = threading.Thread(target=close, name="loudspeaker-close", daemon=True)
        closer.start()
        closer.join(1.0)

    @staticmethod
    def _call(call: Callable[[], None] | None) -> None:
        if call is not None:
            call()


def _sounddevice() -> Any:
    """The module, imported late: it looks for devices when it is imported."""
    try:
        import sounddevice
    except (ImportError, OSError) as why:
        raise SpeakingError(
            f"No sound can be played: {why}. Install PortAudio (on Debian the package "
            "libportaudio2), or train with `--typed`."
        ) from why
    return sounddevice


def _default_rate(device: Device) -> int:
    sounddevice = _sounddevice()
    try:
        found = sounddevice.query_devices(device, "output")
    except (sounddevice.PortAudioError, ValueError) as why:
        wanted = "no loudspeaker" if device is None else f"no loudspeaker {device!r}"
        raise SpeakingError(
            f"There is {wanted} here; `cuewalk devices` lists what there is, and `--typed` trains "
            "without sound."
        ) from why
    return int(found["default_samplerate"])
