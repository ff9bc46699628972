import os
import sys
from pathlib import Path

import pytest

from assistant.errors import SpeakingError
from assistant.speaking.choose import open_voice, voice_text


@pytest.fixture
def told() -> str:
    try:
        return voice_text()
    except SpeakingError as error:
        pytest.skip(str(error))


def test_the_voice_and_the_reason_come_first_and_others_after(told: str) -> None:
    first, *rest = told.splitlines()
    assert first.startswith("voice: ")
    assert "the system's own choice" in first or "the first that speaks" in first
    used = first.removeprefix("voice: ").partition(" ")[0]
    assert all(used != line.split()[0] for line in rest)


def test_a_voice_asked_for_is_used_because_it_was_asked_for(told: str) -> None:
    used = told.removeprefix("voice: ").partition(" ")[0]
    assert "the profile asks for it" in voice_text(used)


def test_an_unknown_voice_is_refused(told: str) -> None:
    with pytest.raises(SpeakingError, match="Nobody"):
        voice_text("Nobody")


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="XDG folders")
def test_lines_are_kept_in_the_users_cache_folder(
    told: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    voice = open_voice()
    assert os.listdir(tmp_path) == []
    sound = voice.render("Kept.", 160)
    (kept,) = (tmp_path / "cuewalk" / "speech").iterdir()
    assert kept.stat().st_size > sound.samples.nbytes
    assert open_voice().name == voice.name != open_voice("en-us").name
