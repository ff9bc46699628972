"""The worker's own dealings with pyttsx3, on an engine that behaves as badly as the real one."""

import io
import json
import sys
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from assistant.speaking import espeak_library, pyttsx3_worker
from assistant.speaking.pyttsx3_worker import RENDER_TRIES, serve


class Driver:
    """Writes what `script` says, one entry for each rendering: whole, cut, empty or none."""

    def __init__(self, *script: str) -> None:
        self.script = list(script)
        self.told: dict[str, Callable[..., None]] = {}
        self.job: tuple[str, str] | None = None
        self.rate = 200
        self.lost_rates = 0
        self.renderings = 0

    def connect(self, topic: str, call: Callable[..., None]) -> None:
        self.told[topic] = call

    def getProperty(self, name: str) -> Any:  # noqa: N802
        if name == "voices":
            return [SimpleNamespace(id="x/en", name="Ex", languages=[b"\x05en\x00"])]
        return {"rate": self.rate, "voice": "x/en"}[name]

    def setProperty(self, name: str, value: Any) -> None:  # noqa: N802
        if name == "rate" and self.lost_rates:
            self.lost_rates -= 1
        elif name == "rate":
            self.rate = value

    def save_to_file(self, text: str, file: str) -> None:
        self.job = (text, file)

    def runAndWait(self) -> None:  # noqa: N802
        if self.job is None:
            return
        self.renderings += 1
        file, self.job = self.job[1], None
        print("Audio saved to", file)
        how = self.script.pop(0) if self.script else "whole"
        if how == "fails":
            self.told["error"](name=None, exception=OSError("no space"))
        elif how != "none":
            Path(file).write_bytes(bytes(44 if how == "empty" else 400))
            self.told["finished-utterance"](name=None, completed=True)
        if how in ("cut", "empty"):
            self.told["finished-utterance"](name=None, completed=False)


@pytest.fixture
def ask(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., list[Any]]:
    monkeypatch.setattr(espeak_library, "prepare", lambda: "wheel")
    monkeypatch.setattr(pyttsx3_worker, "SETTING_LIMIT", 0.01)

    def ask(driver: Driver, *requests: dict[str, Any]) -> list[Any]:
        monkeypatch.setitem(sys.modules, "pyttsx3", SimpleNamespace(init=lambda: driver))
        file = {"file": str(tmp_path / "line.wav"), "voice": None, "text": "hello", "rate": 160}
        lines = "".join(json.dumps(file | request) + "\n" for request in requests)
        answers = io.StringIO()
        serve(io.StringIO(lines), answers)
        return [json.loads(line) for line in answers.getvalue().splitlines()]

    return ask


RENDER = {"do": "render"}


@pytest.mark.parametrize("how", ["cut", "empty", "none"])
def test_a_rendering_that_is_not_whole_is_done_again(ask: Any, how: str) -> None:
    driver = Driver(how, how, "whole")
    assert ask(driver, RENDER) == [{"ok": True}]
    assert driver.renderings == 3


@pytest.mark.parametrize("how", ["cut", "empty", "none"])
def test_one_that_never_is_whole_is_given_up(ask: Any, how: str) -> None:
    driver = Driver(*[how] * 50)
    assert ask(driver, RENDER) == [{"ok": False}]
    assert driver.renderings == RENDER_TRIES


def test_a_failure_is_told_and_the_next_line_is_rendered(ask: Any) -> None:
    failed, fine = ask(Driver("fails"), RENDER, RENDER)
    assert "no space" in failed["error"]
    assert fine == {"ok": True}


def test_a_rate_that_was_lost_is_set_again(ask: Any) -> None:
    driver = Driver()
    driver.lost_rates = 2
    assert ask(driver, RENDER) == [{"ok": True}]
    assert driver.rate == 160


def test_voices_are_listed_without_the_bytes_round_their_languages(ask: Any) -> None:
    ((told),) = ask(Driver(), {"do": "voices"})
    assert told["ok"]["voices"] == [{"id": "x/en", "name": "Ex", "languages": ["en"]}]
    assert (told["ok"]["default"], told["ok"]["library"]) == ("x/en", "wheel")


def test_without_pyttsx3_every_answer_says_so(ask: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    def missing() -> None:
        raise RuntimeError("no espeak here")

    driver = Driver()
    monkeypatch.setattr(espeak_library, "prepare", missing)
    assert all("no espeak here" in told["error"] for told in ask(driver, RENDER, RENDER))
