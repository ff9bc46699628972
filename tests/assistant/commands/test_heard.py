"""`cuewalk heard` hears as a session would: in the profile's language, with its reading."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from assistant.commands import heard
from assistant.demonstration.lines import FOLDER
from assistant.hearing.choose import Choice, choose_recogniser
from tests.assistant.report.run import run

START = FOLDER / "start.wav"


def test_the_profile_tells_what_a_reading_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    profile = tmp_path / "robin.toml"
    profile.write_text('athlete = "Robin"\nbend = 1.06\n', encoding="utf-8")
    asked: list[tuple[object, object]] = []

    def choose(engine: str | None, model: Path | None, *, language: str, bend: float) -> Choice:
        asked.append((language, bend))
        return choose_recogniser(engine, model, language=language, bend=bend)

    monkeypatch.setattr(heard, "choose_recogniser", choose)
    words = ("heard", START, "--engine", "pocketsphinx", "--place", "ready")
    ran = run(*words, "--profile", profile)
    assert ran.code == 0, ran.err
    assert json.loads(ran.out)["intents"][0]["id"] == "start"
    assert asked == [("en", 1.06)]
    ran = run(*words, "--profile", profile, "--language", "ko")
    assert (ran.code, asked[1:]) == (2, [("ko", 1.06)])
    assert "hears English only" in ran.err
