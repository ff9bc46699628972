"""WAV files as samples: what a recording, or a player's output, gives a recogniser.

Reads integer samples of 8, 16, 24 or 32 bits and float samples of 32 or 64 bits, any number of
channels and any rate, as described by the RIFF/WAVE specification (IBM and Microsoft, 1991; the
extensible form of 2001). Python's own `wave` module reads neither floats nor, before 3.12, the
extensible form, so the few chunks needed are read here. Memory stays bounded: the file is read,
mixed down and resampled a second at a time.

>>> import io
>>> read_wave(io.BytesIO(b"not a recording"), name="talk.wav")
Traceback (most recent call last):
    ...
assistant.errors.HearingError: talk.wav is not a WAV file; convert it to WAV first.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass
from pathlib import Path
from typing import Any, BinaryIO, Final

import numpy as np
import soxr
from numpy.typing import NDArray

from assistant.errors import HearingError
from assistant.hearing.port import RATE, Samples

LONGEST: Final = 2 * 3600
"""Seconds of sound that are read at most: longer than any session, 230 MB of samples."""

PIECE: Final = 1 << 20
"""Bytes that are read at once: less than a second of many channels at a high rate."""

_INTEGER, _FLOAT, _EXTENSIBLE = 1, 3, 0xFFFE
_KNOWN_KINDS = {2: "ADPCM", 6: "A-law", 7: "mu-law", 17: "ADPCM", 80: "MPEG", 85: "MP3"}
_RATES = range(1_000, 768_001)
_CHANNELS = range(1, 65)
_OPEN_ENDED = 0x7FFF_0000
"""Sizes from here on are written by programs that write to a pipe: read to the end of the file."""


@dataclass(frozen=True)
class _Shape:
    """How one frame of sound lies in the file."""

    kind: int
    channels: int
    rate: int
    bits: int

    @property
    def frame(self) -> int:
        return self.channels * self.bits // 8


def read_wave(source: Path | BinaryIO, name: str | None = None) -> Samples:
    """The whole recording as mono samples at `RATE`.

    `name` stands for the file in errors where `source` is an open file.
    Raises `HearingError`, naming the file and the mend, where it can not be read.
    """
    parts = list(read_blocks(source, name))
    return np.concatenate(parts)


def read_blocks(source: Path | BinaryIO, name: str | None = None) -> Iterator[Samples]:
    """The recording in pieces of a second at most, else as `read_wave` gives it."""
    name = name or (source.name if isinstance(source, Path) else "The recording")
    opened: AbstractContextManager[BinaryIO]
    if isinstance(source, Path):
        try:
            opened = source.open("rb")
        except FileNotFoundError as error:
            raise HearingError(f"There is no file {source}; check the name.") from error
        except OSError as error:
            raise HearingError(f"{source} can not be opened: {error.strerror}.") from error
    else:
        opened = nullcontext(source)
    with opened as file:
        try:
            yield from _samples(file, name)
        except OSError as error:
            raise HearingError(f"{name} can not be read: {error.strerror or error}.") from error


def _samples(file: BinaryIO, name: str) -> Iterator[Samples]:
    head = file.read(12)
    if len(head) == 0:
        raise HearingError(f"{name} is empty; record it again.")
    if head[:4] != b"RIFF" or head[8:12] != b"WAVE":
        raise HearingError(f"{name} is not a WAV file; convert it to WAV first.")
    shape: _Shape | None = None
    while True:
        chunk = file.read(8)
        if len(chunk) < 8:
            raise HearingError(f"{name} breaks off before any sound; copy or record it again.")
        tag, size = struct.unpack("<4sI", chunk)
        if tag == b"fmt ":
            shape = _shape(file.read(min(size, 64)), name)
            _skip(file, max(0, size - 64) + size % 2)
        elif tag == b"data":
            if shape is None:
                raise HearingError(
                    f"{name} does not say how its sound is stored; convert it to 16-bit WAV."
                )
            yield from _converted(file, shape, size, name)
            return
        else:
            _skip(file, size + size % 2)


def _skip(file: BinaryIO, count: int) -> None:
    """Pass over bytes in small reads: a lying size costs no memory, and a pipe can not seek."""
    while count > 0:
        got = len(file.read(min(count, 1 << 16)))
        if got == 0:
            return
        count -= got


def _shape(chunk: bytes, name: str) -> _Shape:
    if len(chunk) < 16:
        raise HearingError(f"{name} breaks off before any sound; copy or record it again.")
    kind, channels, rate, _, _, bits = struct.unpack("<HHIIHH", chunk[:16])
    if kind == _EXTENSIBLE and len(chunk) >= 26:
        kind = struct.unpack("<H", chunk[24:26])[0]
    if kind not in (_INTEGER, _FLOAT):
        told = _KNOWN_KINDS.get(kind, f"kind {kind}")
        raise HearingError(
            f"{name} is compressed ({told}); convert it to 16-bit WAV without compression."
        )
    if channels not in _CHANNELS:
        raise HearingError(f"{name} has {channels} channels; record it with one or two.")
    if rate not in _RATES:
        raise HearingError(f"{name} has {rate} samples a second; record it at 16000 or more.")
    allowed = (8, 16, 24, 32) if kind == _INTEGER else (32, 64)
    if bits not in allowed:
        raise HearingError(f"{name} has samples of {bits} bits; convert it to 16-bit WAV.")
    return _Shape(kind, channels, rate, bits)


def _converted(file: BinaryIO, shape: _Shape, size: int, name: str) -> Iterator[Samples]:
    """Mono samples at `RATE` from the bytes of the data chunk."""
    known = 0 < size < _OPEN_ENDED
    left = size if known else LONGEST * shape.rate * shape.frame + shape.frame
    stream = soxr.ResampleStream(shape.rate, RATE, 1, dtype="float32")
    given = seconds = 0.0
    carry = b""
    while left > 0:
        data = file.read(min(left, shape.rate * shape.frame, PIECE))
        if not data:
            break
        left -= len(data)
        data = carry + data
        whole = len(data) - len(data) % shape.frame
        carry = data[whole:]
        if whole == 0:
            continue
        seconds += whole / shape.frame / shape.rate
        if seconds > LONGEST:
            raise HearingError(
                f"{name} is longer than {LONGEST // 3600} hours; cut it into shorter recordings."
            )
        out = _whole_numbers(stream.resample_chunk(_mono(data[:whole], shape)))
        given += len(out)
        yield out
    if known and left > 0:
        full = size / shape.frame / shape.rate
        raise HearingError(
            f"{name} breaks off after {seconds:.1f} of {full:.1f} seconds; copy it again."
        )
    if seconds == 0:
        raise HearingError(f"{name} holds no sound; record it again.")
    yield _whole_numbers(stream.resample_chunk(np.zeros(0, np.float32), last=True))


def _mono(data: bytes, shape: _Shape) -> NDArray[np.float32]:
    """Frames as floats from -1 to 1, channels averaged."""
    flat: NDArray[np.float32]
    if shape.kind == _FLOAT:
        raw = np.frombuffer(data, "<f4" if shape.bits == 32 else "<f8")
        flat = np.nan_to_num(raw, nan=0.0, posinf=1.0, neginf=-1.0)
        flat = np.clip(flat, -1.0, 1.0).astype(np.float32)
    elif shape.bits == 8:
        flat = _scaled(np.frombuffer(data, np.uint8).astype(np.int32) - 128, 8)
    elif shape.bits == 16:
        flat = _scaled(np.frombuffer(data, "<i2"), 16)
    elif shape.bits == 24:
        # Three bytes become the upper three of four, so that the sign comes along by itself.
        wide = np.zeros((len(data) // 3, 4), np.uint8)
        wide[:, 1:] = np.frombuffer(data, np.uint8).reshape(-1, 3)
        flat = _scaled(wide.view("<i4")[:, 0], 32)
    else:
        flat = _scaled(np.frombuffer(data, "<i4"), 32)
    mixed: NDArray[np.float32] = flat.reshape(-1, shape.channels).mean(axis=1, dtype=np.float32)
    return mixed


def _scaled(numbers: NDArray[Any], bits: int) -> NDArray[np.float32]:
    out: NDArray[np.float32] = np.multiply(numbers, 2.0 ** (1 - bits), dtype=np.float32)
    return out


def _whole_numbers(sound: NDArray[np.float32]) -> Samples:
    return np.clip(np.rint(sound * 32_768), -32_768, 32_767).astype(np.int16)
