"""The athlete's own profile: where it lies, written whole, read back the same."""

from __future__ import annotations

import os
import tomllib
from pathlib import Path

import platformdirs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.errors import InputError
from assistant.files import builtin_catalogue, own_profile, read_profile
from assistant.profile_file import default_profile_path, profile_text, write_new
from catalogue.load import load_catalogue
from catalogue.model import Catalogue, Level, Profile
from catalogue.problems import CatalogueProblems
from catalogue.profile import load_profile
from tests.invented import catalogue as invented
from tests.invented import line_stand

CATALOGUE = builtin_catalogue()
SMALL = invented(line_stand("{ kind = 'hold', seconds = [30, 45], sets = 2, rest = 30 }"))


@pytest.fixture
def small() -> Catalogue:
    return load_catalogue({"all.toml": SMALL})


profiles = st.builds(
    Profile,
    athlete=st.text(st.characters(exclude_categories=["C"]), min_size=1, max_size=60),
    levels=st.dictionaries(st.sampled_from(sorted(CATALOGUE.skills)), st.sampled_from(Level)),
    equipment=st.lists(st.sampled_from(sorted(CATALOGUE.equipment)), unique=True).map(tuple),
    space=st.integers(1, 200).map(lambda half: half / 2),
    minutes=st.integers(5, 120),
    rate=st.integers(80, 300),
    volume=st.integers(0, 20).map(lambda part: part / 20),
    voice=st.none() | st.text(st.characters(exclude_categories=["C"]), min_size=1),
    units=st.sampled_from(["metric", "imperial"]),
)


@given(profiles)
def test_what_is_written_is_read_back(profile: Profile) -> None:
    """By the loader, and by Python's own TOML parser as an independent reader."""
    text = profile_text(profile, CATALOGUE)
    assert load_profile(text, "me.toml", CATALOGUE) == profile
    raw = tomllib.loads(text)
    assert raw["athlete"] == profile.athlete
    assert raw["levels"] == {skill: level.value for skill, level in profile.levels.items()}
    assert max(map(len, text.splitlines())) <= 160


def test_where_it_lies() -> None:
    assert default_profile_path({"CUEWALK_HOME": "/some/where"}) == Path("/some/where/profile.toml")
    usual = platformdirs.user_config_path("cuewalk", False)
    assert default_profile_path({}) == usual / "profile.toml"


def test_it_counts_where_none_is_named(tmp_path: Path) -> None:
    home = {"CUEWALK_HOME": str(tmp_path)}
    assert read_profile(None, CATALOGUE, home).athlete == "Athlete"
    assert own_profile(CATALOGUE, home) is None
    (tmp_path / "profile.toml").write_text('athlete = "Robin"\nequipment = ["bar"]\n')
    assert read_profile(None, CATALOGUE, home).athlete == "Robin"
    named = tmp_path / "other.toml"
    named.write_text('athlete = "Kim"\n')
    assert read_profile(named, CATALOGUE, home).athlete == "Kim"


def test_it_goes_with_a_coachs_catalogue_too(tmp_path: Path, small: Catalogue) -> None:
    home = {"CUEWALK_HOME": str(tmp_path)}
    file = tmp_path / "profile.toml"
    file.write_text(
        'athlete = "Robin"\nequipment = ["bar"]\n[levels]\nbalance = "advanced"\nhangs = "beginner"'
    )
    read = read_profile(None, small, home)
    assert (read.athlete, read.levels, read.equipment) == (
        "Robin", {"balance": Level.ADVANCED}, (),
    )  # fmt: skip
    with pytest.raises(CatalogueProblems, match="hangs"):
        read_profile(file, small, home)


def test_a_mistake_in_it_is_told_with_any_catalogue(tmp_path: Path, small: Catalogue) -> None:
    home = {"CUEWALK_HOME": str(tmp_path)}
    (tmp_path / "profile.toml").write_text('athlete = "Robin"\nminutes = 3\n')
    for made in (CATALOGUE, small):
        with pytest.raises(CatalogueProblems, match=r"profile\.toml:2"):
            read_profile(None, made, home)


def test_nothing_is_overwritten(tmp_path: Path) -> None:
    file = tmp_path / "deep" / "down" / "me.toml"
    write_new(file, "a = 1\n")
    with pytest.raises(InputError, match="there already"):
        write_new(file, "a = 2\n")
    assert file.read_text() == "a = 1\n"
    write_new(file, "a = 2\n", replace=True)
    assert file.read_text() == "a = 2\n"
    assert [path.name for path in file.parent.iterdir()] == ["me.toml"]


def test_without_links_nothing_is_overwritten_either(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_link(source: object, target: object) -> None:
        raise OSError(95, "Operation not supported")

    monkeypatch.setattr(os, "link", no_link)
    file = tmp_path / "me.toml"
    write_new(file, "a = 1\n")
    with pytest.raises(InputError, match="there already"):
        write_new(file, "a = 2\n")
    assert file.read_text() == "a = 1\n"


@pytest.mark.parametrize("name", ["a\0b.toml", "x" * 300 + ".toml"])
def test_what_can_not_be_written_is_told(tmp_path: Path, name: str) -> None:
    with pytest.raises(InputError):
        write_new(tmp_path / name, "a = 1\n")


def test_a_folder_is_no_file(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="is a folder"):
        write_new(tmp_path, "a = 1\n", replace=True)
