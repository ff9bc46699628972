"""`cuewalk new`: what it writes loads, passes the check and trains; nothing is ever lost."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from assistant.commands.app import app
from assistant.commands.new import starter
from assistant.errors import InputError
from assistant.files import builtin_catalogue, read_catalogue, read_folder, read_profile
from catalogue.check import check_catalogue
from catalogue.model import Phase
from catalogue.profile import default_profile
from tests.assistant.commands.test_bad_input import refused, run

runner = CliRunner()


def test_a_new_catalogue_passes_the_check_and_trains(tmp_path: Path) -> None:
    folder = tmp_path / "skills of ours"
    done = run("new", "catalogue", str(folder), home=tmp_path)
    assert done.returncode == 0
    assert f"cuewalk check --catalogue '{folder}'" in done.stdout
    checked = run("check", "--catalogue", str(folder), "--engine", "pocketsphinx", home=tmp_path)
    assert checked.returncode == 0
    assert "0 to mend" in checked.stdout
    rehearsed = run("rehearse", "--catalogue", str(folder), home=tmp_path)
    assert rehearsed.stdout.rstrip().endswith("ended: done")


def test_what_is_left_to_do_is_all_that_is_remarked(tmp_path: Path) -> None:
    """The only remarks are the levels that the coach has still to fill."""
    runner.invoke(app, ["new", "catalogue", str(tmp_path / "new")])
    made = read_catalogue(tmp_path / "new")
    remarks = check_catalogue(made)
    assert [remark.kind for remark in remarks] == ["skill"] * len(made.skills)
    assert {movement.phase for movement in made.movements.values()} == set(Phase)


def test_every_kind_of_dosage_side_and_link_is_explained() -> None:
    """A coach finds an example or a word on each choice there is."""
    text = "\n".join(starter().values())
    for word in (
        '"hold"', '"work"', '"reps"', '"reps_per_side"', '"distance"', '"each"', '"shared"',
        "regress", "progress", "alternative", "easier_because", "stand_ins", "never_because",
        "hazards", "inverted", "hanging", "raised", "rolling", "landing", "loads", "support",
    ):  # fmt: skip
        assert word in text, word


def test_its_words_are_its_own() -> None:
    """The example repeats no movement of the built-in catalogue."""
    ours = {m.name for m in builtin_catalogue().movements.values()}
    runner.invoke(app, [])
    names = {line.split('"')[1] for text in starter().values() for line in text.splitlines()
             if line.startswith("name = ")}  # fmt: skip
    assert not ours & names


def test_a_folder_with_files_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine.toml").write_text("name = 'mine'")
    before = read_folder(tmp_path)
    said = refused(run("new", "catalogue", str(tmp_path), home=tmp_path / "home"))
    assert "mine.toml" in said
    assert read_folder(tmp_path) == before


def test_an_empty_folder_or_one_with_hidden_files_is_taken(tmp_path: Path) -> None:
    (tmp_path / "new").mkdir()
    (tmp_path / "new" / ".gitignore").write_text("*.bak")
    assert runner.invoke(app, ["new", "catalogue", str(tmp_path / "new")]).exit_code == 0


def test_a_file_in_the_place_of_the_folder_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("text")
    with pytest.raises(InputError, match="is a file"):
        runner.invoke(app, ["new", "catalogue", str(tmp_path / "file")], catch_exceptions=False)


def test_a_new_profile_loads(tmp_path: Path) -> None:
    file = tmp_path / "people" / "robin.toml"
    done = run("new", "profile", str(file), home=tmp_path)
    assert done.returncode == 0
    made = builtin_catalogue()
    assert read_profile(file, made) == default_profile(made)
    assert str(file) in refused(run("new", "profile", str(file), home=tmp_path))


def test_a_new_profile_has_the_name_that_is_given(tmp_path: Path) -> None:
    file = tmp_path / "robin.toml"
    assert "--name takes" in refused(run("new", "profile", str(file), "--name", "", home=tmp_path))
    assert not file.exists()
    named = run("new", "profile", str(file), "--name", 'Robin "R" K.', home=tmp_path)
    assert named.returncode == 0, named.stderr
    assert read_profile(file, builtin_catalogue()).athlete == 'Robin "R" K.'


def test_a_new_profile_fits_the_coachs_catalogue(tmp_path: Path) -> None:
    folder, file = tmp_path / "skills", tmp_path / "robin.toml"
    runner.invoke(app, ["new", "catalogue", str(folder)])
    runner.invoke(app, ["new", "profile", str(file), "--catalogue", str(folder)])
    made = read_catalogue(folder)
    assert set(read_profile(file, made).levels) == set(made.skills)
    for item in made.equipment:
        assert f'"{item}"' in file.read_text()
