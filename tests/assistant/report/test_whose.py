"""Whose training is meant."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.errors import InputError
from assistant.files import builtin_catalogue
from assistant.record.store import SessionInfo, Store
from assistant.report.whose import opened, whose
from catalogue.model import Level
from catalogue.profile import default_profile
from tests.assistant.report.season import FIRST, Session, profile, write

CATALOGUE = builtin_catalogue()


@pytest.fixture
def two(tmp_path: Path) -> list[SessionInfo]:
    path = tmp_path / "record.db"
    write(path, profile("Robin", Level.BEGINNER), [Session(FIRST, [])])
    write(path, profile("Kim", Level.ADVANCED), [Session(FIRST, [])])
    write(path, profile("Robin", Level.INTERMEDIATE), [Session(FIRST, [])])
    with Store.open(path, read_only=True) as store:
        return store.sessions()


def test_the_only_athlete_is_meant(two: list[SessionInfo]) -> None:
    assert whose(two[1:2], CATALOGUE) == profile("Kim", Level.ADVANCED)


def test_the_profile_is_that_of_the_last_session(two: list[SessionInfo]) -> None:
    assert whose(two, CATALOGUE, athlete="Robin") == profile("Robin", Level.INTERMEDIATE)


def test_several_have_to_be_told_apart(two: list[SessionInfo]) -> None:
    with pytest.raises(InputError, match=r"Kim, Robin: say whose, with --athlete NAME"):
        whose(two, CATALOGUE)
    with pytest.raises(InputError, match=r"no session of 'Sam': it holds those of Kim, Robin"):
        whose(two, CATALOGUE, athlete="Sam")


def test_a_profile_that_is_named_counts(two: list[SessionInfo], tmp_path: Path) -> None:
    file = tmp_path / "kim.toml"
    file.write_text('athlete = "Kim"\nminutes = 20\n')
    assert whose(two, CATALOGUE, file).minutes == 20
    assert whose(two, CATALOGUE, file, "Robin").athlete == "Robin"


def test_nobody_yet(tmp_path: Path) -> None:
    assert whose([], CATALOGUE) == default_profile(CATALOGUE)
    assert opened(tmp_path / "none.db") is None
