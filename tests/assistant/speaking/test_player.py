"""The player on a made-up sounddevice, for what a real device can not be asked to do.

What a real one does is tested in tests/room.
"""

import sys
import threading
import time
from collections.abc import Callable, Iterator
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from assistant.errors import SpeakingError
from assistant.speaking import output_stream, player
from assistant.speaking.player import Player
from assistant.speaking.port import Sound

RATE = 8_000


class Card:
    """A sound card and its sounddevice module; it asks for 10 ms of sound each 10 ms."""

    class PortAudioError(Exception):
        pass

    def __init__(self) -> None:
        self.rate = RATE
        self.latency = 0.01
        self.present = True
        self.stuck = False
        self.least_channels = 1
        self.delay = 0.02
        self.dry_always = False
        self.opened: list[dict[str, Any]] = []
        self.heard: list[np.ndarray] = []
        self.looked = 0

    def query_devices(self, device: object, kind: str) -> dict[str, Any]:
        if not self.present or device == "nothing":
            raise ValueError("No output device matching")
        return {
            "name": "card",
            "default_samplerate": float(self.rate),
            "default_low_output_latency": self.latency,
        }

    def _terminate(self) -> None:
        self.looked += 1

    def _initialize(self) -> None: ...

    def OutputStream(self, **wanted: Any) -> "Stream":  # noqa: N802
        if not self.present:
            raise self.PortAudioError("Device unavailable")
        if wanted["channels"] < self.least_channels:
            raise self.PortAudioError("Invalid number of channels")
        self.opened.append(wanted)
        return Stream(self, wanted)


class Stream:
    def __init__(self, card: Card, wanted: dict[str, Any]) -> None:
        self.card, self.wanted = card, wanted
        self.active = False
        self.closed = threading.Event()

    def start(self) -> None:
        self.active = True
        threading.Thread(target=self._run, daemon=True).start()

    def _run(self) -> None:
        frames = self.wanted["samplerate"] // 100
        while not self.closed.wait(0.01):
            if not self.card.present:
                self.active = False
                return
            if self.card.stuck:
                continue
            self.ask(frames)

    def ask(self, frames: int) -> np.ndarray:
        out = np.full((frames, self.wanted["channels"]), 9.0, np.float32)
        when = SimpleNamespace(currentTime=7.0, outputBufferDacTime=7.0 + self.card.delay)
        status = SimpleNamespace(output_underflow=self.card.dry_always)
        self.wanted["callback"](out, frames, when, status)
        self.card.heard.append(out[:, 0].copy())
        return out

    def abort(self) -> None:
        self.active = False
        self.closed.set()

    close = abort


@pytest.fixture
def card(monkeypatch: pytest.MonkeyPatch) -> Card:
    made = Card()
    monkeypatch.setitem(sys.modules, "sounddevice", made)
    monkeypatch.setattr(player, "SILENCE", 0.15)
    monkeypatch.setattr(player, "RETRY", 0.05)
    return made


class Log:
    """What a player told."""

    def __init__(self) -> None:
        self.told: list[tuple[str, bool]] = []
        self.devices: list[str] = []

    def open(self, **more: Any) -> Player:
        made = Player(
            time.monotonic,
            on_lost=lambda: self.devices.append("lost"),
            on_found=lambda: self.devices.append("found"),
            **more,
        )
        made.on_finished(lambda tag, whole: self.told.append((tag, whole)))
        return made


@pytest.fixture
def log() -> Log:
    return Log()


@pytest.fixture
def speaker(card: Card, log: Log) -> Iterator[Player]:
    made = log.open()
    yield made
    made.close()


def tone(seconds: float) -> Sound:
    return Sound(np.full(round(seconds * RATE), 9000, np.int16), RATE)


def until(true: Callable[[], object], seconds: float = 5.0) -> bool:
    deadline = time.monotonic() + seconds
    while not true():
        if time.monotonic() > deadline:
            return False
        time.sleep(0.005)
    return True


def test_plays_and_tells_the_end(card: Card, speaker: Player, log: Log) -> None:
    began = time.monotonic()
    speaker.say(tone(0.3), "a")
    assert until(lambda: log.told)
    assert log.told == [("a", True)]
    # Not before it has left the device.
    assert time.monotonic() - began >= 0.3
    heard = np.concatenate(card.heard)
    assert np.count_nonzero(heard) == round(0.3 * RATE)


def test_before_the_first_sound_there_is_silence_not_noise(card: Card, speaker: Player) -> None:
    assert until(lambda: len(card.heard) > 5)
    assert not np.concatenate(card.heard).any()


def test_without_sound_library_the_error_says_what_to_install(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setitem(sys.modules, "sounddevice", None)
    with pytest.raises(SpeakingError, match="libportaudio2"):
        Player(time.monotonic)


def test_without_a_device_the_error_says_so_and_no_thread_is_left(card: Card) -> None:
    card.present = False
    before = threading.active_count()
    with pytest.raises(SpeakingError, match="no loudspeaker here"):
        Player(time.monotonic)
    assert threading.active_count() <= before


def test_an_unknown_device_is_named(card: Card) -> None:
    with pytest.raises(SpeakingError, match="'nothing'"):
        Player(time.monotonic, "nothing")


def test_a_device_in_use_is_named(card: Card) -> None:
    card.least_channels = 99
    with pytest.raises(SpeakingError, match=r"'card' can not be opened .*--loudspeaker"):
        Player(time.monotonic)


def test_a_device_of_two_channels_gets_the_same_on_both(card: Card, log: Log) -> None:
    card.least_channels = 2
    speaker = log.open()
    speaker.say(tone(0.05), "a")
    assert until(lambda: log.told)
    speaker.close()
    assert card.opened[-1]["channels"] == 2


def test_the_least_latency_of_the_device_counts(card: Card, log: Log) -> None:
    card.latency = 0.09
    log.open().close()
    assert card.opened[-1]["latency"] == 0.09


@pytest.mark.parametrize("delay", [-5.0, 40.0])
def test_a_device_that_tells_no_time_is_believed_its_latency(
    card: Card, log: Log, delay: float
) -> None:
    card.delay = delay
    speaker = log.open(latency=0.05)
    time.sleep(0.4)
    assert speaker.latency == pytest.approx(0.05, abs=0.03)
    speaker.close()


@pytest.mark.parametrize("how", ["present", "stuck"])
def test_lost_and_found_again(card: Card, speaker: Player, log: Log, how: str) -> None:
    speaker.say(tone(0.4), "broken")
    speaker.say(tone(0.2), "unheard")
    speaker.say(tone(1.0), "found again")
    time.sleep(0.1)
    setattr(card, how, how == "stuck")
    assert until(lambda: log.devices)
    assert log.devices[0] == "lost"
    # No line is left hanging while there is no device.
    assert until(lambda: len(log.told) == 2, 2.0)
    # Into the third line.
    time.sleep(0.3)
    setattr(card, how, how != "stuck")
    assert until(lambda: log.devices[-1] == "found")
    assert until(lambda: len(log.told) == 3)
    assert log.told == [("broken", False), ("unheard", False), ("found again", False)]
    speaker.say(tone(0.1), "whole")
    assert until(lambda: ("whole", True) in log.told)


def test_a_dead_stream_that_wakes_again_is_silent(card: Card, log: Log) -> None:
    speaker = log.open()
    (stream,) = [speaker._stream._stream]  # type: ignore[union-attr]
    card.present = False
    assert until(lambda: log.devices == ["lost"])
    speaker.say(tone(1.0), "a")
    assert not stream.ask(80).any()
    speaker.close()


def test_a_found_device_may_have_another_rate(card: Card, speaker: Player, log: Log) -> None:
    card.present = False
    assert until(lambda: log.devices == ["lost"])
    card.rate, card.present = 2 * RATE, True
    assert until(lambda: log.devices == ["lost", "found"])
    card.heard.clear()
    speaker.say(tone(0.2), "a")
    assert until(lambda: ("a", True) in log.told)
    heard = np.concatenate(card.heard)
    assert np.count_nonzero(np.abs(heard) > 0.1) == pytest.approx(0.2 * 2 * RATE, rel=0.05)


def test_a_stream_that_runs_dry_all_the_time_is_opened_with_more(
    card: Card, speaker: Player, log: Log
) -> None:
    card.dry_always = True
    assert until(lambda: len(card.opened) >= 2)
    first, second = card.opened[:2]
    assert second["latency"] > first["latency"]
    assert log.devices == []
    assert speaker.dry > 0


def test_closing_ends_all_threads(card: Card, log: Log) -> None:
    before = threading.active_count()
    speaker = log.open(on_played=lambda samples, at: None)
    speaker.say(tone(5.0), "long")
    time.sleep(0.05)
    speaker.close()
    assert until(lambda: threading.active_count() <= before)
    assert log.told == []


def test_a_device_that_never_closes_does_not_hold_the_program(
    card: Card, log: Log, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(output_stream, "CLOSING", 0.1)
    monkeypatch.setattr(Stream, "abort", lambda self: time.sleep(3))
    speaker = log.open()
    began = time.monotonic()
    speaker.close()
    assert time.monotonic() - began < 1.0
