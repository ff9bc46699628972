"""The microphone: blocks at 16 kHz with their times, from any device, lost and found again.

The sound card's callback copies and queues, and counts what it had to drop; resampling and waiting
happen on the reader's thread. A block's time is when its first sample was heard, on the session's
clock: counted in samples, and pulled slowly towards what the sound card's own time says, so that
it neither jitters nor drifts.
"""

from __future__ import annotations

import contextlib
import math
import queue
import threading
import time
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import soxr
from numpy.typing import NDArray

from assistant import open_streams
from assistant.errors import HearingError
from assistant.hearing.listener import TimedBlock
from assistant.hearing.port import BLOCK, RATE, Samples
from assistant.hearing.portaudio import portaudio
from assistant.speaking.timeline import Timeline

QUEUED = 200
"""Blocks that wait at most (6 s): more would answer words long past."""

SILENT = 1.0
"""Seconds without a callback after which the device is taken for lost."""

RETRY = 0.5
"""Seconds between two tries to open a lost device again."""

RATES = (48_000, 44_100, 16_000, 8_000)
"""Rates to try where a device refuses the one that it names as its own."""

LOOK = 0.05
"""Seconds between two looks whether a device that was opened again gives sound."""

Device = int | str | None
Raw = tuple[NDArray[np.int16], float]


class Microphone:
    """An input device as timed blocks.

    `clock` gives session seconds. `device` is a number or a part of a name as `cuewalk devices`
    lists them, None the system's default. Raises HearingError where it can not be opened at first;
    later it calls `on_lost()`, tries until the device is there again and gives sound, and calls
    `on_found()`, both on the reader's thread.
    """

    def __init__(
        self,
        clock: Callable[[], float],
        device: Device = None,
        *,
        on_lost: Callable[[], None] = lambda: None,
        on_found: Callable[[], None] = lambda: None,
    ) -> None:
        self._clock, self._device = clock, device
        self._on_lost, self._on_found = on_lost, on_found
        self._queue: queue.Queue[Raw] = queue.Queue(QUEUED)
        self._closing = threading.Event()
        self._stream: Any = None
        self.dropped = 0
        """Blocks that came faster than they were heard."""
        self.overflows = 0
        """Times the sound card says that it lost samples."""
        self._open()

    def blocks(self, until: float = math.inf) -> Iterator[TimedBlock]:
        """Blocks of `BLOCK` samples until `close`, or a time on the clock; while the device is
        lost, none come."""
        while not self._closing.is_set() and self._clock() < until:
            for block, at in self._read():
                if at >= until:
                    return
                yield block, at
            if self._closing.is_set():
                return
            self._shut()
            self._on_lost()
            if self._find(until):
                self._on_found()

    def close(self) -> None:
        """End the blocks."""
        self._closing.set()
        self._shut()

    def _read(self) -> Iterator[TimedBlock]:
        """Blocks of the open device, until it falls silent for too long."""
        resampler = soxr.ResampleStream(self._rate, RATE, 1, dtype="int16", quality="HQ")
        timeline = Timeline(self._rate)
        rest: Samples = np.zeros(0, np.int16)
        heard = given = 0
        while not self._closing.is_set():
            try:
                raw, heard_at = self._queue.get(timeout=SILENT)
            except queue.Empty:
                return
            timeline.observe(heard, heard_at)
            heard += len(raw)
            sound = raw if self._rate == RATE else resampler.resample_chunk(raw)
            rest = np.concatenate([rest, sound]) if len(rest) else sound
            while len(rest) >= BLOCK:
                # By its place in the sound: the resampler hands out in bursts what it was given.
                yield rest[:BLOCK], timeline.time_of(round(given * self._rate / RATE))
                rest = rest[BLOCK:]
                given += BLOCK

    def _open(self) -> None:
        sounddevice = portaudio()
        failure: Exception
        try:
            info = sounddevice.query_devices(self._device, "input")
        except (sounddevice.PortAudioError, ValueError) as error:
            failure = error
        else:
            own = int(info["default_samplerate"])
            # Some devices have only two channels, and some do not know their own rate.
            ways = [(own, 1), (own, 2), *((rate, n) for rate in RATES for n in (1, 2))]
            for rate, channels in ways:
                try:
                    self._stream = self._started(sounddevice, rate, channels)
                    return
                except (sounddevice.PortAudioError, ValueError) as error:
                    failure = error if (rate, channels) == ways[0] else failure
        named = "No microphone" if self._device is None else f"No microphone {self._device!r}"
        raise HearingError(
            f"{named} can be opened ({failure}); plug one in, choose one that cuewalk devices "
            "lists with --microphone, or train without: cuewalk train --typed"
        ) from failure

    def _started(self, sounddevice: Any, rate: int, channels: int) -> Any:
        self._rate = rate
        open_streams.hold()
        stream = None
        try:
            stream = sounddevice.InputStream(
                samplerate=rate,
                blocksize=max(1, round(rate * BLOCK / RATE)),
                device=self._device,
                channels=channels,
                dtype="int16",
                latency="low",
                callback=self._heard,
            )
            stream.start()
        except BaseException:
            if stream is not None:
                stream.close()
            open_streams.release()
            raise
        return stream

    def _heard(self, raw: NDArray[np.int16], frames: int, when: Any, status: Any) -> None:
        """One block, in the sound card's thread: copy, stamp, queue."""
        if status and status.input_overflow:
            self.overflows += 1
        # Some sound servers give no times; then the block has just ended.
        age = when.currentTime - when.inputBufferAdcTime
        if not 0 < age < 2.0:
            age = frames / self._rate
        try:
            self._queue.put_nowait((raw[:, 0].copy(), self._clock() - age))
        except queue.Full:
            self.dropped += 1

    def _find(self, until: float) -> bool:
        """Try until the device is there again, and gives sound: one that is switched off opens
        too. False where the session closes first, or the time is over."""
        while not self._closing.wait(RETRY) and self._clock() < until:
            try:
                open_streams.look_again(portaudio())
                self._open()
            except HearingError:
                continue
            if self._gives_sound():
                return True
            self._shut()
        return False

    def _gives_sound(self) -> bool:
        until = time.monotonic() + SILENT
        while self._queue.empty():
            if self._closing.wait(LOOK) or time.monotonic() > until:
                return False
        return True

    def _shut(self) -> None:
        stream, self._stream = self._stream, None
        if stream is None:
            return

        def close() -> None:
            with contextlib.suppress(Exception):
                stream.abort()
            with contextlib.suppress(Exception):
                stream.close()
            open_streams.release()

        # A stream whose device is gone may never come back from being closed.
        thread = threading.Thread(target=close, name="microphone-close", daemon=True)
        thread.start()
        thread.join(1.0)
        while not self._queue.empty():
            try:
                self._queue.get_nowait()
            except queue.Empty:
                break
