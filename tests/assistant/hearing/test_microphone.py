"""The microphone over a sound library of our own making: rates, times, losses, returns."""

import threading
import time
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from assistant.errors import HearingError
from assistant.hearing import devices, microphone, portaudio
from assistant.hearing.microphone import QUEUED, Microphone
from assistant.hearing.port import BLOCK, RATE


class Library:
    """Stands for sounddevice: its streams deliver what a test feeds them."""

    class PortAudioError(Exception): ...

    def __init__(self, rate: int = 48_000) -> None:
        self.rate = rate
        self.streams: list[Any] = []
        self.there = True
        self.default = SimpleNamespace(device=(0, 1))
        self.least_channels = 1
        self.refused: tuple[int, ...] = ()
        self.looked = 0

    def query_devices(self, device: Any = None, kind: str | None = None) -> Any:
        one = {
            "name": "Tin can",
            "max_input_channels": 1,
            "max_output_channels": 0,
            "default_samplerate": float(self.rate),
        }
        return one if kind else [one]

    def InputStream(self, **wanted: Any) -> Any:  # noqa: N802
        if not self.there:
            raise self.PortAudioError("Device unavailable")
        if wanted["channels"] < self.least_channels or wanted["samplerate"] in self.refused:
            raise self.PortAudioError("Invalid number of channels, or rate")
        stream = SimpleNamespace(
            **wanted, start=lambda: None, abort=lambda: None, close=lambda: None
        )
        self.streams.append(stream)
        return stream

    def _terminate(self) -> None:
        self.looked += 1

    def _initialize(self) -> None: ...

    def feed(self, sound: np.ndarray, age: float = 0.0, overflow: bool = False) -> None:
        when = SimpleNamespace(currentTime=age, inputBufferAdcTime=0.0)
        status = SimpleNamespace(input_overflow=overflow) if overflow else None
        stream = self.streams[-1]
        frames = np.repeat(sound.reshape(-1, 1), stream.channels, axis=1)
        stream.callback(frames, len(sound), when, status)


@pytest.fixture
def library(monkeypatch: pytest.MonkeyPatch) -> Library:
    library = Library()
    monkeypatch.setattr(microphone, "portaudio", lambda: library)
    monkeypatch.setattr(devices, "portaudio", lambda: library)
    monkeypatch.setattr(microphone, "SILENT", 0.1)
    monkeypatch.setattr(microphone, "RETRY", 0.02)
    return library


def test_blocks_come_at_16_khz_with_the_times_of_the_sound(library: Library) -> None:
    now = [10.0]
    mic = Microphone(lambda: now[0])
    wave = 8000 * np.sin(2 * np.pi * 440 * np.arange(48_000) / 48_000)
    for start in range(0, 48_000, 1440):
        now[0] = 10 + (start + 1440) / 48_000
        library.feed(wave[start : start + 1440].astype(np.int16), age=0.03)
    heard, times = [], []
    for block, at in mic.blocks():
        heard.append(block)
        times.append(at)
        if len(heard) == 30:
            break
    mic.close()
    assert {len(block) for block in heard} == {BLOCK}
    assert all(block.dtype == np.int16 for block in heard)
    assert np.diff(times) == pytest.approx(BLOCK / RATE, abs=0.003)
    assert times[0] == pytest.approx(10.0, abs=0.05)
    sound = np.concatenate(heard)[2000:].astype(float)
    strongest = np.argmax(np.abs(np.fft.rfft(sound))) * RATE / len(sound)
    assert abs(strongest - 440) < 3
    assert np.sqrt(np.mean(sound**2)) == pytest.approx(8000 / np.sqrt(2), rel=0.02)


def test_the_queue_is_bounded_and_losses_are_counted(library: Library) -> None:
    mic = Microphone(lambda: 0.0)
    for _ in range(QUEUED + 7):
        library.feed(np.zeros(1440, np.int16), overflow=True)
    assert (mic.dropped, mic.overflows) == (7, QUEUED + 7)
    mic.close()


def test_a_lost_device_is_told_and_found_again(library: Library) -> None:
    told: list[str] = []
    found = threading.Event()

    def back() -> None:
        told.append("found")
        found.set()

    mic = Microphone(time.monotonic, on_lost=lambda: told.append("lost"), on_found=back)
    blocks: list[float] = []
    reader = threading.Thread(target=lambda: blocks.extend(at for _, at in mic.blocks()))
    library.there = False
    reader.start()
    time.sleep(0.3)
    assert told == ["lost"]
    opened = len(library.streams)
    library.there = True
    time.sleep(0.4)
    assert told == ["lost"], "opened, but switched off: it is not back before it gives sound"
    while not found.wait(0.02):
        if len(library.streams) > opened:
            library.feed(np.zeros(1440, np.int16))
    for _ in range(5):
        library.feed(np.zeros(1440, np.int16))
    deadline = time.monotonic() + 5
    while not blocks and time.monotonic() < deadline:
        time.sleep(0.01)
    mic.close()
    reader.join(5)
    assert not reader.is_alive()
    assert blocks
    assert told[:2] == ["lost", "found"]
    assert len(library.streams) >= 2
    assert library.looked >= 1, "what was plugged in meanwhile is looked for"


@pytest.mark.parametrize("rate", [8_000, 11_025, 16_000, 22_050, 32_000, 44_100, 48_000, 96_000])
@pytest.mark.parametrize("channels", [1, 2])
def test_every_rate_is_heard_at_16_khz(library: Library, rate: int, channels: int) -> None:
    """A tone keeps its pitch and its length; a device with two channels only is heard too."""
    library.rate, library.least_channels = rate, channels
    now = [0.0]
    mic = Microphone(lambda: now[0])
    wave = 8000 * np.sin(2 * np.pi * 440 * np.arange(rate) / rate)
    size = library.streams[-1].blocksize
    for start in range(0, rate - size + 1, size):
        now[0] = (start + size) / rate
        library.feed(wave[start : start + size].astype(np.int16), age=size / rate)
    heard, times = [], []
    for block, at in mic.blocks():
        heard.append(block)
        times.append(at)
        if len(heard) == 30:
            break
    mic.close()
    sound = np.concatenate(heard)[2000:].astype(float)
    strongest = np.argmax(np.abs(np.fft.rfft(sound))) * RATE / len(sound)
    assert abs(strongest - 440) < 3
    assert np.diff(times) == pytest.approx(BLOCK / RATE, abs=0.003)


def test_a_device_that_does_not_know_its_rate_is_opened_at_another(library: Library) -> None:
    library.rate, library.refused = 96_000, (96_000, 48_000)
    mic = Microphone(lambda: 0.0)
    assert library.streams[-1].samplerate == 44_100
    mic.close()


def test_a_microphone_that_is_not_there_is_told(library: Library) -> None:
    library.there = False
    with pytest.raises(HearingError, match="cuewalk devices") as told:
        Microphone(lambda: 0.0, "Tin")
    assert "cuewalk train --typed" in str(told.value)


def test_devices_are_listed(library: Library) -> None:
    assert ">    0 Tin can: 1 in, 0 out, 48000 Hz" in devices.devices_text()
    library.query_devices = lambda *_: []  # type: ignore[method-assign]
    assert "No audio devices" in devices.devices_text()


def test_a_missing_library_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    import builtins

    usual = builtins.__import__

    def broken(name: str, *rest: Any) -> Any:
        if name == "sounddevice":
            raise OSError("PortAudio library not found")
        return usual(name, *rest)

    monkeypatch.setattr(builtins, "__import__", broken)
    with pytest.raises(HearingError, match="libportaudio2"):
        portaudio.portaudio()


def test_a_time_ends_the_blocks_of_a_device_that_is_gone(library: Library) -> None:
    now = [0.0]
    heard = Microphone(lambda: now[0])
    for _ in range(5):
        library.feed(np.zeros(1440, np.int16))
    blocks = heard.blocks(until=1.0)
    assert len([next(blocks) for _ in range(4)]) == 4
    library.there = False
    now[0] = 2.0
    assert len(list(blocks)) <= 1
    heard.close()
