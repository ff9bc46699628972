import os
import stat
import threading
import time
from pathlib import Path

import numpy as np
import pytest

from assistant.errors import SpeakingError
from assistant.speaking import cache as cache_module
from assistant.speaking.cache import RenderCache
from assistant.speaking.port import Sound


class Teller:
    """A voice that notes what it is asked for; longer texts give longer sounds."""

    def __init__(self, name: str = "teller", seconds: float = 0.0) -> None:
        self.name = name
        self.asked: list[str] = []
        self.gate = threading.Event()
        self.gate.set()
        self._seconds = seconds

    def render(self, text: str, rate: int) -> Sound:
        self.asked.append(text)
        self.gate.wait(5)
        time.sleep(self._seconds)
        if text == "unspeakable":
            raise SpeakingError("can not")
        return Sound(np.arange(100 * len(text), dtype=np.int16), rate * 100)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "speech"


def entries(folder: Path) -> list[Path]:
    return sorted(folder.glob("*.wav"))


def fresh(folder: Path | None, voice: Teller, **more: int) -> RenderCache:
    """A cache as after a new start of the program: nothing in memory."""
    return RenderCache(folder, voice, **more)


def test_rendered_once_for_text_rate_and_voice(folder: Path) -> None:
    voice, other = Teller(), Teller("other")
    for _ in range(2):
        fresh(folder, voice).render("hello", 160)
        fresh(folder, voice).render("hello", 180)
        fresh(folder, voice).render("goodbye", 160)
        fresh(folder, other).render("hello", 160)
    assert voice.asked == ["hello", "hello", "goodbye"]
    assert other.asked == ["hello"]


def test_what_comes_back_is_what_was_rendered(folder: Path) -> None:
    voice = Teller()
    first = fresh(folder, voice).render("hello", 160)
    second = fresh(folder, voice).render("hello", 160)
    assert second.rate == first.rate
    np.testing.assert_array_equal(second.samples, first.samples)


@pytest.mark.skipif(os.name != "posix", reason="permissions of POSIX")
def test_the_folder_and_its_files_are_the_users_alone(folder: Path) -> None:
    folder.mkdir(mode=0o755)
    fresh(folder, Teller()).render("my shoulder hurts", 160)
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert [stat.S_IMODE(file.stat().st_mode) for file in entries(folder)] == [0o600]
    assert "shoulder" not in entries(folder)[0].name


@pytest.mark.parametrize("damage", ["cut", "emptied", "changed", "headless"])
def test_a_damaged_entry_is_rendered_again_and_mended(folder: Path, damage: str) -> None:
    voice = Teller()
    whole = fresh(folder, voice).render("hello", 160)
    (file,) = entries(folder)
    data = bytearray(file.read_bytes())
    if damage == "changed":
        data[len(data) // 2] ^= 0x40
    cut = {"cut": data[: len(data) // 2], "emptied": b"", "headless": data[50:]}
    file.write_bytes(cut.get(damage, data))
    for _ in range(2):
        again = fresh(folder, voice).render("hello", 160)
        np.testing.assert_array_equal(again.samples, whole.samples)
    assert voice.asked == ["hello", "hello"]


def test_no_part_of_an_entry_is_ever_seen(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    voice = Teller()
    monkeypatch.setattr(os, "replace", full)
    sound = fresh(folder, voice).render("hello", 160)
    assert sound.seconds > 0
    assert list(folder.iterdir()) == []


def test_a_folder_that_can_not_be_made_only_costs_time(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    cache = fresh(tmp_path / "file" / "speech", Teller())
    assert cache.render("hello", 160).seconds > 0
    assert cache.render("hello", 160).seconds > 0


def test_in_memory_too_so_the_disk_is_not_asked_twice() -> None:
    voice = Teller()
    cache = fresh(None, voice)
    assert cache.render("hello", 160) is cache.render("hello", 160)
    assert voice.asked == ["hello"]


def test_memory_is_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cache_module, "AT_HAND", 2)
    voice = Teller()
    cache = fresh(None, voice)
    for text in ("a", "b", "a", "c", "a", "b"):
        cache.render(text, 160)
    assert voice.asked == ["a", "b", "c", "b"]


def test_beyond_the_limit_the_least_lately_used_go(folder: Path) -> None:
    voice = Teller()
    one = 2 * 100 * 5 + 60
    for text in ("text1", "text2", "text3"):
        fresh(folder, voice, limit=10 * one).render(text, 160)
        time.sleep(0.01)
    # Used again, so it is no longer the oldest.
    fresh(folder, voice, limit=10 * one).render("text1", 160)
    time.sleep(0.01)
    fresh(folder, voice, limit=3 * one + 100).render("text4", 160)
    assert len(entries(folder)) <= 3
    voice.asked.clear()
    fresh(folder, voice).render("text1", 160)
    fresh(folder, voice).render("text4", 160)
    assert voice.asked == []
    fresh(folder, voice).render("text2", 160)
    assert voice.asked == ["text2"]


def test_size_stays_bounded_within_one_run(folder: Path) -> None:
    cache = fresh(folder, Teller(), limit=20_000)
    for number in range(60):
        cache.render(f"line {number:03}", 160)
    assert sum(file.stat().st_size for file in folder.iterdir()) <= 20_000


def test_one_entry_larger_than_the_limit_is_kept_until_the_next(folder: Path) -> None:
    voice = Teller()
    fresh(folder, voice, limit=10).render("hello", 160)
    assert len(entries(folder)) == 1
    fresh(folder, voice, limit=10).render("world", 160)
    assert len(entries(folder)) == 1


def test_warmed_texts_are_there_when_asked_for(folder: Path) -> None:
    voice = Teller()
    cache = fresh(folder, voice)
    cache.warm(["one", "two", "unspeakable", "three"], 160)
    assert cache.settle(5)
    voice.asked.clear()
    for text in ("one", "two", "three"):
        cache.render(text, 160)
    assert voice.asked == []
    with pytest.raises(SpeakingError):
        cache.render("unspeakable", 160)
    cache.close()


def test_what_is_kept_is_not_warmed_again(folder: Path) -> None:
    voice = Teller()
    fresh(folder, voice).render("one", 160)
    cache = fresh(folder, voice)
    cache.warm(["one", "two"], 160)
    assert cache.settle(5)
    assert voice.asked == ["one", "two"]
    cache.close()


def test_what_is_asked_for_now_comes_before_what_is_rendered_ahead(folder: Path) -> None:
    voice = Teller()
    voice.gate.clear()
    cache = fresh(folder, voice)
    cache.warm(["first", "second", "third"], 160)
    while voice.asked != ["first"]:
        time.sleep(0.001)
    askers = [threading.Thread(target=cache.render, args=(f"now{n}", 160)) for n in range(8)]
    for asker in askers:
        asker.start()
    while cache._asked < len(askers):
        time.sleep(0.001)
    voice.gate.set()
    for asker in askers:
        asker.join(5)
    assert cache.settle(5)
    assert voice.asked[0] == "first"
    assert set(voice.asked[1:-2]) == {f"now{n}" for n in range(8)}
    assert voice.asked[-2:] == ["second", "third"]
    cache.close()


def test_asked_for_while_it_is_rendered_ahead_it_is_rendered_once(folder: Path) -> None:
    voice = Teller(seconds=0.1)
    cache = fresh(folder, voice)
    cache.warm(["hello"], 160)
    while not voice.asked:
        time.sleep(0.001)
    assert cache.render("hello", 160).seconds > 0
    assert voice.asked == ["hello"]
    cache.close()


def test_closing_stops_rendering_ahead(folder: Path) -> None:
    voice = Teller(seconds=0.05)
    cache = fresh(folder, voice)
    cache.warm([f"line {number}" for number in range(100)], 160)
    cache.close()
    assert len(voice.asked) <= 2
    cache.warm(["more"], 160)
    assert cache.render("asked", 160).seconds > 0


def test_errors_of_the_voice_go_through_and_nothing_is_kept(folder: Path) -> None:
    cache = fresh(folder, Teller())
    with pytest.raises(SpeakingError):
        cache.render("unspeakable", 160)
    assert not folder.exists()
