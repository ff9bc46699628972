"""Folders and files from disk: what is read, what is refused, and how that is said."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from assistant.errors import InputError
from assistant.files import (
    LOOKED_AT,
    builtin_catalogue,
    builtin_sources,
    read_catalogue,
    read_folder,
    read_profile,
)
from catalogue.load import FILES
from catalogue.parse import BYTES
from catalogue.problems import CatalogueProblems


def refused(folder: Path) -> str:
    with pytest.raises(InputError) as caught:
        read_folder(folder)
    assert "\n" not in str(caught.value)
    return str(caught.value)


def test_the_built_in_files_are_all_there() -> None:
    sources = builtin_sources()
    assert {"catalogue.toml", "skills.toml", "equipment.toml", "warm_up.toml"} <= set(sources)
    assert {f"{skill}.toml" for skill in builtin_catalogue().skills} <= set(sources)


def test_a_copied_folder_gives_the_same_catalogue(tmp_path: Path) -> None:
    for name, text in builtin_sources().items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    assert read_catalogue(tmp_path) == builtin_catalogue()
    assert read_catalogue(None) is builtin_catalogue()


def test_only_toml_files_are_read_in_folders_too(tmp_path: Path) -> None:
    (tmp_path / "b.toml").write_text("b = 1")
    (tmp_path / "notes.txt").write_text("x")
    (tmp_path / ".hidden.toml").write_text("x")
    (tmp_path / ".git").mkdir()
    (tmp_path / ".git" / "c.toml").write_text("x")
    (tmp_path / "more").mkdir()
    (tmp_path / "more" / "a.toml").write_text("a = 1")
    assert read_folder(tmp_path) == {"b.toml": "b = 1", "more/a.toml": "a = 1"}


def test_mistakes_in_a_folder_name_the_file(tmp_path: Path) -> None:
    (tmp_path / "mine.toml").write_text('name = "mine"\n\n[[movement]]\nid = \n')
    with pytest.raises(CatalogueProblems, match=r"^mine\.toml:4: "):
        read_catalogue(tmp_path)


def test_a_missing_folder_a_file_and_an_empty_folder(tmp_path: Path) -> None:
    assert refused(tmp_path / "nowhere") == (
        f"There is no folder {tmp_path / 'nowhere'}; check the path"
    )
    (tmp_path / "a.toml").write_text("a = 1")
    assert "is not a folder; give the folder" in refused(tmp_path / "a.toml")
    (tmp_path / "empty").mkdir()
    assert "has no file that ends in .toml" in refused(tmp_path / "empty")


def test_a_link_to_outside_is_refused_and_one_to_inside_is_read(tmp_path: Path) -> None:
    outside = tmp_path / "outside.toml"
    outside.write_text("secret = 1")
    folder = tmp_path / "folder"
    folder.mkdir()
    (folder / "a.toml").write_text("a = 1")
    (folder / "b.toml").symlink_to("a.toml")
    assert read_folder(folder) == {"a.toml": "a = 1", "b.toml": "a = 1"}
    (folder / "c.toml").symlink_to(outside)
    assert refused(folder) == f"{folder / 'c.toml'} is a link to outside the folder; copy the file"


def test_links_to_folders_and_links_in_circles(tmp_path: Path) -> None:
    folder = tmp_path / "folder"
    folder.mkdir()
    (folder / "a.toml").write_text("a = 1")
    (folder / "loop").symlink_to(folder)
    assert read_folder(folder) == {"a.toml": "a = 1"}
    (folder / "circle.toml").symlink_to("circle.toml")
    assert "circle.toml" in refused(folder) or "can not be read" in refused(folder)
    via = tmp_path / "via"
    via.symlink_to(tmp_path / "plain")
    (tmp_path / "plain").mkdir()
    (tmp_path / "plain" / "a.toml").write_text("a = 1")
    assert read_folder(via) == {"a.toml": "a = 1"}


def test_sizes_are_bounded(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text("#" * (BYTES + 1))
    assert "larger than 1,048,576 bytes; split it" in refused(tmp_path)
    many = tmp_path / "many"
    many.mkdir()
    for number in range(FILES + 1):
        (many / f"{number}.toml").touch()
    assert f"over {FILES} TOML files; join some" in refused(many)
    for number in range(LOOKED_AT + 1 - FILES):
        (many / f"{number}.txt").touch()
    assert "give the catalogue's own" in refused(many)


def test_text_that_is_not_utf8_names_the_line(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_bytes(b"a = 1\nb = '\xff'\n")
    assert refused(tmp_path) == (
        f"{tmp_path / 'a.toml'}:2: this is not UTF-8 text; save the file as UTF-8"
    )


def test_a_pipe_is_no_file(tmp_path: Path) -> None:
    """Opening it would wait for ever."""
    os.mkfifo(tmp_path / "a.toml")
    assert "is not a file; check the path" in refused(tmp_path)


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text("a = 1")
    (tmp_path / "a.toml").chmod(0)
    assert "can not be read (permission denied); check the path" in refused(tmp_path)


def test_a_profile_from_disk(tmp_path: Path) -> None:
    path = tmp_path / "robin.toml"
    path.write_text('athlete = "Robin"\nequipment = ["bar"]\n')
    assert read_profile(path, builtin_catalogue()).equipment == ("bar",)
    assert read_profile(None, builtin_catalogue(), {"CUEWALK_HOME": str(tmp_path)}).equipment == ()
    path.write_text('athlete = "Robin"\nequipment = ["bars"]\n')
    with pytest.raises(CatalogueProblems, match=r"robin\.toml:2: .*did you mean `bar`"):
        read_profile(path, builtin_catalogue())


@pytest.mark.parametrize("name", ["nowhere.toml", "", "x" * 300, "a\0b"])
def test_a_profile_that_is_not_there(tmp_path: Path, name: str) -> None:
    with pytest.raises(InputError, match="check the path"):
        read_profile(tmp_path / name, builtin_catalogue())
