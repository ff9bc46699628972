"""One sounddevice output stream: opened, watched and closed."""

from __future__ import annotations

import contextlib
import threading
import time
from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from assistant import open_streams
from assistant.errors import SpeakingError
from assistant.speaking.quiet_alsa import hush_alsa

Device = int | str | None
"""A device's number, or a part of its name; None is the system's default."""

Fill = Callable[[NDArray[np.float32], float, bool], None]
"""Called in the sound card's thread with zeroed frames to fill, the seconds from now until the
first of them will be heard (negative where the device does not tell), and whether the device ran
dry before them."""

CLOSING = 1.0
"""Seconds that a device may take to close; a dead one may never answer, and is left behind."""


class OutputStream:
    """A running stream of mono frames, silent until `play`. Raises SpeakingError where it can not
    be opened.

    `latency` is the seconds of sound asked to be buffered; the device's own least counts where it
    is more. The size of a block is left to PortAudio: with one of our own, PulseAudio ran dry
    without end whenever something else listened to the same device.
    """

    def __init__(self, device: Device, latency: float) -> None:
        sounddevice = _sounddevice()
        hush_alsa()
        found = _described(sounddevice, device)
        self.rate = int(found["default_samplerate"])
        self.dry = 0
        """How often the device ran dry, as far as it tells."""
        self.asked = False
        """The device has asked for sound: one that is switched off opens and never does."""
        self._fill: Fill | None = None
        self._mono = np.zeros(self.rate, np.float32)
        self._beat = time.monotonic()
        failure: Exception | None = None
        # Some devices play only two channels.
        for channels in (1, 2):
            open_streams.hold()
            try:
                self._stream = sounddevice.OutputStream(
                    samplerate=self.rate,
                    device=device,
                    channels=channels,
                    dtype="float32",
                    latency=max(latency, found["default_low_output_latency"]),
                    callback=self._callback,
                )
                self._stream.start()
                return
            except (sounddevice.PortAudioError, ValueError) as why:
                open_streams.release()
                failure = failure or why
        raise SpeakingError(
            f"The loudspeaker {found['name']!r} can not be opened ({failure}); close what else "
            "uses it, or choose another with --loudspeaker (`cuewalk devices` lists them)."
        )

    def play(self, fill: Fill) -> None:
        """From now on the frames are filled by this."""
        self._fill = fill

    def silent_for(self) -> float:
        """Seconds since the device last asked for sound; without end where it has stopped."""
        if not self._stream.active:
            return float("inf")
        return time.monotonic() - self._beat

    def close(self) -> None:
        """Stop at once; no call of `fill` begins after this."""
        self._fill = None

        def close() -> None:
            with contextlib.suppress(Exception):
                self._stream.abort()
            with contextlib.suppress(Exception):
                self._stream.close()
            open_streams.release()

        closer = threading.Thread(target=close, name="loudspeaker-close", daemon=True)
        closer.start()
        closer.join(CLOSING)

    def _callback(self, out: NDArray[np.float32], frames: int, when: Any, status: Any) -> None:
        self._beat = time.monotonic()
        self.asked = True
        mono = self._mono[:frames]
        mono.fill(0)
        if status.output_underflow:
            self.dry += 1
        fill = self._fill
        if fill is not None:
            delay = when.outputBufferDacTime - when.currentTime
            # Some back ends tell no time at all, others a time of another clock.
            told = delay if 0.0 <= delay < 3.0 else -1.0
            fill(mono, told, bool(status.output_underflow))
        out[:] = mono[:, None]


def look_for_devices() -> None:
    """Have devices that were plugged in since the start found, where that can be done now."""
    with contextlib.suppress(SpeakingError):
        open_streams.look_again(_sounddevice())


def _sounddevice() -> Any:
    """The module, imported late: it looks for devices when it is imported."""
    try:
        import sounddevice
    except (ImportError, OSError) as why:
        raise SpeakingError(
            f"No sound can be played: {why}. Install PortAudio (on Debian: sudo apt install "
            "libportaudio2), or train with `--typed`."
        ) from why
    return sounddevice


def _described(sounddevice: Any, device: Device) -> Any:
    try:
        return sounddevice.query_devices(device, "output")
    except (sounddevice.PortAudioError, ValueError) as why:
        wanted = "no loudspeaker" if device is None else f"no loudspeaker {device!r}"
        raise SpeakingError(
            f"There is {wanted} here; `cuewalk devices` lists what there is, and `--typed` trains "
            "without sound."
        ) from why
