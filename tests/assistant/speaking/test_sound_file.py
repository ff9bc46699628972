import io
import shutil
import subprocess
import wave
from pathlib import Path

import numpy as np
import pytest

from assistant.errors import SpeakingError
from assistant.speaking.port import Sound
from assistant.speaking.sound_file import read_sound, wav_bytes

SAMPLES = (np.sin(np.arange(3000) * 0.05) * 20000).astype(np.int16)


def test_a_written_sound_reads_back() -> None:
    back = read_sound(wav_bytes(Sound(SAMPLES, 22_050)))
    assert back.rate == 22_050
    np.testing.assert_array_equal(back.samples, SAMPLES)


@pytest.mark.skipif(shutil.which("sox") is None, reason="sox is not installed")
@pytest.mark.parametrize(
    "form", [["-t", "aiff"], ["-t", "aifc"], ["-t", "wav"], ["-t", "wav", "-c", "2"]]
)
def test_files_that_sox_writes_read_the_same(form: list[str], tmp_path: Path) -> None:
    # sox is the outside opinion on both file formats.
    source, made = tmp_path / "in.wav", tmp_path / "made"
    source.write_bytes(wav_bytes(Sound(SAMPLES, 22_050)))
    subprocess.run(["sox", "-D", str(source), *form, str(made)], check=True)
    back = read_sound(made.read_bytes())
    assert back.rate == 22_050
    np.testing.assert_array_equal(back.samples, SAMPLES)


def test_little_endian_aiff_of_macos_reads_too() -> None:
    # `sowt` is `twos` with the bytes the other way round (AIFF-C specification, from memory).
    body = SAMPLES.astype("<i2").tobytes()
    common = b"\0\x01" + len(SAMPLES).to_bytes(4, "big") + b"\0\x10"
    common += bytes.fromhex("400dac44000000000000") + b"sowt" + b"\0\0"
    chunks = b"COMM" + len(common).to_bytes(4, "big") + common
    chunks += b"SSND" + (len(body) + 8).to_bytes(4, "big") + bytes(8) + body
    back = read_sound(b"FORM" + (len(chunks) + 4).to_bytes(4, "big") + b"AIFC" + chunks)
    assert back.rate == 22_050
    np.testing.assert_array_equal(back.samples, SAMPLES)


def wav(width: int, frames: bytes) -> bytes:
    out = io.BytesIO()
    with wave.open(out, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(width)
        file.setframerate(8000)
        file.writeframes(frames)
    return out.getvalue()


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"RIFF",
        b"no sound at all",
        wav(1, b"\x80" * 100),
        wav(2, b""),
        b"FORM\0\0\0\0AIFF",
        b"FORM\0\0\0\x10AIFFCOMM\0\0\0\x02\0\x01",
    ],
)
def test_what_is_no_sound_is_refused_in_one_sentence(data: bytes) -> None:
    with pytest.raises(SpeakingError, match="can not be read"):
        read_sound(data)
