"""Reads what a voice wrote: WAV, or AIFF (which the voices of macOS write whatever the name says).

>>> import numpy as np
>>> from assistant.speaking.port import Sound
>>> tone = Sound(np.array([0, 1000, -1000], np.int16), 8000)
>>> read_sound(wav_bytes(tone)).samples.tolist()
[0, 1000, -1000]
"""

from __future__ import annotations

import io
import struct
import wave

import numpy as np
from numpy.typing import NDArray

from assistant.errors import SpeakingError
from assistant.speaking.port import Sound

_UNREADABLE = (
    wave.Error, EOFError, ValueError, struct.error, ArithmeticError, RuntimeError,
)  # fmt: skip
"""What bytes that are no sound file raise, those of the standard library's reader included."""


def read_sound(data: bytes) -> Sound:
    """The sound in a WAV or AIFF file of 16-bit samples; channels are averaged to one.

    Raises SpeakingError where the bytes are something else, are cut short or hold no samples.
    """
    try:
        if data[:4] == b"FORM":
            return _read_aiff(data)
        with wave.open(io.BytesIO(data)) as file:
            if file.getsampwidth() != 2:
                raise ValueError(f"{8 * file.getsampwidth()}-bit samples instead of 16-bit")
            samples = np.frombuffer(file.readframes(file.getnframes()), "<i2")
            return _sound(samples, file.getnchannels(), file.getframerate())
    except _UNREADABLE as why:
        raise SpeakingError(
            f"The voice wrote a sound file that can not be read ({why}); try another voice."
        ) from why


def wav_bytes(sound: Sound) -> bytes:
    """The sound as a WAV file: mono, 16 bits."""
    out = io.BytesIO()
    with wave.open(out, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(sound.rate)
        file.writeframes(sound.samples.astype("<i2").tobytes())
    return out.getvalue()


def _sound(samples: NDArray[np.int16], channels: int, rate: int) -> Sound:
    if len(samples) < channels or rate <= 0:
        raise ValueError("no samples in it")
    if channels > 1:
        whole = samples[: len(samples) // channels * channels].reshape(-1, channels)
        samples = np.round(whole.mean(axis=1))
    return Sound(np.ascontiguousarray(samples, np.int16), rate)


def _read_aiff(data: bytes) -> Sound:
    """AIFF and AIFF-C without compression, as its public specification lays them out."""
    channels, rate, order = 0, 0, ">i2"
    samples: NDArray[np.int16] | None = None
    at = 12
    while at + 8 <= len(data):
        name, size = struct.unpack_from(">4sI", data, at)
        body = data[at + 8 : at + 8 + size]
        if name == b"COMM":
            channels, _, bits = struct.unpack_from(">hIh", body)
            rate = _extended(body[8:18])
            kind = body[18:22] or b"NONE"
            if bits != 16 or kind not in (b"NONE", b"twos", b"sowt"):
                raise ValueError(f"AIFF of {bits} bits, kind {kind!r}")
            order = "<i2" if kind == b"sowt" else ">i2"
        elif name == b"SSND":
            (offset,) = struct.unpack_from(">I", body)
            pcm = body[8 + offset :]
            samples = np.frombuffer(pcm[: len(pcm) // 2 * 2], order)
        at += 8 + size + size % 2
    if samples is None or channels < 1:
        raise ValueError("AIFF without sound")
    return _sound(samples, channels, rate)


def _extended(ten: bytes) -> int:
    """An 80-bit extended number (IEEE 754) as the whole number that a sample rate is."""
    exponent, mantissa = struct.unpack(">HQ", ten)
    return int(mantissa * 2.0 ** ((exponent & 0x7FFF) - 16383 - 63))
