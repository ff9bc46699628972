"""Recordings of every kind, read and refused.

Outside sources: Python's own `wave` module writes integer files; sox (where installed) writes
float, 24-bit and extensible files and changes rates, so that its reading of the format is held
against ours.
"""

import io
import shutil
import struct
import subprocess
import wave
from pathlib import Path

import numpy as np
import pytest

from assistant.errors import HearingError
from assistant.hearing.port import RATE
from assistant.hearing.wave import LONGEST, read_blocks, read_wave

needs_sox = pytest.mark.skipif(shutil.which("sox") is None, reason="sox is not installed")


def tone(rate: int, seconds: float = 0.5, hertz: float = 440.0) -> np.ndarray:
    return 0.5 * np.sin(2 * np.pi * hertz * np.arange(round(rate * seconds)) / rate)


def riff(fmt: bytes, data: bytes, size: int | None = None, extra: bytes = b"") -> io.BytesIO:
    body = b"WAVE" + b"fmt " + struct.pack("<I", len(fmt)) + fmt + extra
    body += b"data" + struct.pack("<I", len(data) if size is None else size) + data
    return io.BytesIO(b"RIFF" + struct.pack("<I", len(body)) + body)


def fmt(kind: int = 1, channels: int = 1, rate: int = RATE, bits: int = 16) -> bytes:
    frame = channels * bits // 8
    return struct.pack("<HHIIHH", kind, channels, rate, rate * frame % 2**32, frame, bits)


@pytest.mark.parametrize("width", [1, 2, 3, 4])
@pytest.mark.parametrize("channels", [1, 2])
def test_whole_numbers_of_every_width(tmp_path: Path, width: int, channels: int) -> None:
    path = tmp_path / "tone.wav"
    sound = tone(RATE)
    scaled = np.rint(sound * (2 ** (8 * width - 1) - 1)).astype("<i8")
    if width == 1:
        scaled += 128
    frames = np.repeat(scaled, channels)
    raw = b"".join(int(v).to_bytes(width, "little", signed=width > 1) for v in frames)
    with wave.open(str(path), "wb") as file:
        file.setnchannels(channels)
        file.setsampwidth(width)
        file.setframerate(RATE)
        file.writeframes(raw)
    heard = read_wave(path) / 32768
    assert len(heard) == len(sound)
    assert np.max(np.abs(heard - sound)) < (0.01 if width == 1 else 1e-4)


@pytest.mark.parametrize("bits", [32, 64])
def test_floats_may_hold_nonsense(bits: int) -> None:
    sound = tone(RATE)
    sound[10:13] = [np.nan, np.inf, -np.inf]
    heard = read_wave(riff(fmt(kind=3, bits=bits), sound.astype(f"<f{bits // 8}").tobytes()))
    assert list(heard[10:13]) == [0, 32767, -32768]
    assert abs(heard[100] / 32768 - sound[100]) < 1e-4


@pytest.mark.parametrize("rate", [8_000, 22_050, 44_100, 48_000])
def test_any_rate_is_resampled(rate: int) -> None:
    data = np.rint(tone(rate, 1.5) * 32767).astype("<i2").tobytes()
    heard = read_wave(riff(fmt(rate=rate), data))
    assert abs(len(heard) - 1.5 * RATE) <= 2
    middle = heard[4000:-4000] / 32768
    strongest = np.argmax(np.abs(np.fft.rfft(middle))) * RATE / len(middle)
    assert abs(strongest - 440) < 2
    assert abs(np.sqrt(np.mean(middle**2)) - 0.5 / np.sqrt(2)) < 0.01


@needs_sox
@pytest.mark.parametrize(
    "options",
    [
        ["-e", "floating-point", "-b", "32"],
        ["-e", "signed-integer", "-b", "24"],
        ["-e", "signed-integer", "-b", "32", "-r", "44100", "-c", "2"],
    ],
)
def test_what_sox_writes(tmp_path: Path, options: list[str]) -> None:
    plain, other = tmp_path / "plain.wav", tmp_path / "other.wav"
    make = ["sox", "-n", "-r", "16000", "-b", "16", plain, "synth", "0.5", "sine", "440"]
    subprocess.run([*make, "vol", "0.5"], check=True)
    subprocess.run(["sox", plain, *options, other], check=True)
    a, b = read_wave(plain).astype(float), read_wave(other).astype(float)
    n = min(len(a), len(b))
    assert abs(len(a) - len(b)) <= 2
    assert np.max(np.abs(a[500 : n - 500] - b[500 : n - 500])) < 100


def test_chunks_that_are_not_sound_are_passed_over() -> None:
    note = b"LIST" + struct.pack("<I", 5) + b"hello\0"
    assert len(read_wave(riff(fmt(), b"\1\0" * 200, extra=note))) == 200


@pytest.mark.parametrize("size", [0, 0x7FFF_FFFF, 0xFFFF_FFFF])
def test_a_size_left_open_by_a_pipe_means_to_the_end(size: int) -> None:
    assert len(read_wave(riff(fmt(), b"\1\0" * 200, size=size))) == 200


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "is empty"),
        (b"RIFF", "not a WAV file"),
        (b"ID3\3" + bytes(100), "not a WAV file"),
        (b"RIFF\0\0\0\0WAVE", "breaks off before any sound"),
        (riff(fmt()[:10], b"").getvalue(), "breaks off before any sound"),
        (riff(fmt(channels=0), b"\0\0" * 9).getvalue(), "has 0 channels"),
        (riff(fmt(channels=9999), b"\0\0" * 9).getvalue(), "has 9999 channels"),
        (riff(fmt(rate=0), b"\0\0" * 9).getvalue(), "has 0 samples a second"),
        (riff(fmt(rate=4_000_000_000), b"\0\0" * 9).getvalue(), "samples a second"),
        (riff(fmt(kind=85), b"\0\0" * 9).getvalue(), r"compressed \(MP3\)"),
        (riff(fmt(kind=999), b"\0\0" * 9).getvalue(), r"compressed \(kind 999\)"),
        (riff(fmt(bits=12), b"\0\0" * 9).getvalue(), "samples of 12 bits"),
        (riff(fmt(kind=3, bits=16), b"\0\0" * 9).getvalue(), "samples of 16 bits"),
        (riff(fmt(), b"").getvalue(), "holds no sound"),
        (riff(fmt(), b"\0\0" * 8000, size=32000).getvalue(), "breaks off after 0.5 of 1.0 seconds"),
        (b"RIFF\0\0\0\0WAVEdata" + struct.pack("<I", 4) + bytes(4), "how its sound is stored"),
    ],
)
def test_what_can_not_be_read_is_told_with_its_name(
    tmp_path: Path, content: bytes, says: str
) -> None:
    path = tmp_path / "talk.wav"
    path.write_bytes(content)
    with pytest.raises(HearingError, match=says) as caught:
        read_wave(path)
    assert "talk.wav" in str(caught.value)
    assert str(caught.value).endswith(".")


def test_a_missing_file_and_a_folder_are_told(tmp_path: Path) -> None:
    with pytest.raises(HearingError, match="There is no file"):
        read_wave(tmp_path / "none.wav")
    with pytest.raises(HearingError, match="can not be opened"):
        read_wave(tmp_path)


class Endless(io.RawIOBase):
    """A recording without end that counts what was taken from it."""

    def __init__(self) -> None:
        self.head = riff(fmt(rate=1000, bits=8), b"", size=0xFFFF_FFFF)
        self.taken = 0

    def read(self, count: int = -1) -> bytes:
        got = self.head.read(count) or b"\x80" * count
        self.taken += len(got)
        return got


def test_memory_and_length_are_bounded() -> None:
    source = Endless()
    blocks = read_blocks(source, "endless.wav")  # type: ignore[arg-type]
    assert 0 < len(next(blocks)) <= RATE
    assert source.taken < 2000
    with pytest.raises(HearingError, match="longer than 2 hours"):
        for _ in blocks:
            pass
    assert source.taken < (LONGEST + 5) * 1000
