"""Reading aloud: where a sentence ends, and what is kept in the profile."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from typer.testing import CliRunner

from assistant.commands import reading as command
from assistant.commands.app import app
from assistant.demonstration.lines import script
from assistant.files import builtin_catalogue, read_profile
from assistant.hearing.adaptation import Adapted
from assistant.hearing.dictionary import sounds_of
from assistant.hearing.listener import TimedBlock, blocks_of
from assistant.hearing.port import RATE, Samples
from assistant.hearing.wave import read_wave
from assistant.profile_file import with_bend
from assistant.reading import PATIENCE, one_sentence, read_aloud, sentences

HISS = np.random.default_rng(1).normal(0, 6, 60 * RATE)


def spoken() -> Samples:
    """Three of the demonstration's recordings, two seconds apart, in a quiet room."""
    parts = [read_wave(line.file) for line in script()[1] if line.file.exists()][:3]
    sound = np.concatenate([np.pad(part, (RATE, RATE)) for part in parts]).astype(float)
    return (sound + HISS[: len(sound)]).astype(np.int16)


def test_each_sentence_ends_with_its_silence() -> None:
    shown: list[tuple[int, str]] = []
    read = read_aloud(
        blocks_of(spoken()), ("one", "two", "three"), lambda n, text: shown.append((n, text))
    )
    assert shown == [(1, "one"), (2, "two"), (3, "three")]
    assert [text for _, text in read] == ["one", "two", "three"]
    assert 2.0 < sum(len(sound) for sound, _ in read) / RATE < 12.0
    assert all(len(sound) > 0.3 * RATE for sound, _ in read)


def test_nobody_who_reads_is_waited_for_no_longer_than_needed() -> None:
    taken: list[float] = []

    def source() -> Iterator[TimedBlock]:
        for block, at in blocks_of(HISS.astype(np.int16)):
            taken.append(at)
            yield block, at

    assert one_sentence(source()) is None
    assert taken[-1] == pytest.approx(PATIENCE, abs=0.1)


def test_a_source_that_ends_gives_what_there_was() -> None:
    sound = spoken()[: 2 * RATE]
    assert len(read_aloud(blocks_of(sound), ("one", "two"), lambda n, text: None)) == 1


def test_every_word_that_is_read_is_in_the_recognisers_dictionary() -> None:
    words = {word for text in sentences() for word in text.split()}
    assert words == set(sounds_of(words))
    phones = {phone.rstrip("012") for sounds in sounds_of(words).values() for phone in sounds}
    # The 39 phones of the CMU dictionary (its own documentation).
    assert len(phones) == 39


PROFILE = """# mine
athlete = "Robin"   # that is me
minutes = 20

[levels]
balance = "beginner"
"""


def test_the_profile_keeps_its_comments_and_reads_back(tmp_path: Path) -> None:
    text = with_bend(PROFILE, 1.12)
    assert "# that is me" in text
    file = tmp_path / "me.toml"
    file.write_text(with_bend(text, 1.06))
    profile = read_profile(file, builtin_catalogue())
    assert profile.bend == 1.06
    assert profile.levels["balance"].value == "beginner"
    assert file.read_text().count("bend") == 1


def test_the_command_shows_reads_and_keeps(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    given: list[Any] = []

    def heard(read: list[tuple[Samples, str]]) -> Adapted:
        given.extend(read)
        return Adapted(bend=1.06)

    monkeypatch.setattr(command, "adapt", heard)
    monkeypatch.setattr(
        command,
        "Microphone",
        lambda clock, device: SimpleNamespace(
            blocks=lambda: blocks_of(spoken()), close=lambda: None
        ),
    )
    file = tmp_path / "me.toml"
    file.write_text(PROFILE)
    told = CliRunner().invoke(app, ["reading", "--profile", str(file)])
    assert told.exit_code == 0, told.output
    assert f"1 of {len(sentences())}: {sentences()[0]}" in told.output
    assert "Read: 3 of" in told.output
    assert [text for _, text in given] == list(sentences()[:3])
    assert "bend = 1.06" in file.read_text()


def test_without_a_profile_it_says_how_to_make_one(tmp_path: Path) -> None:
    told = CliRunner().invoke(app, ["reading", "--profile", str(tmp_path / "none.toml")])
    assert told.exit_code != 0
