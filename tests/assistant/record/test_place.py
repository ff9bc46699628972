"""Where the record lies."""

from __future__ import annotations

import os
import stat
import sys
from pathlib import Path

import pytest

from assistant.record.place import default_path, make_folder

posix = pytest.mark.skipif(os.name != "posix", reason="rights of this kind are POSIX's")


def test_a_folder_of_ones_own_comes_first(tmp_path: Path) -> None:
    assert default_path({"CUEWALK_HOME": str(tmp_path)}) == tmp_path / "record.db"


@pytest.mark.skipif(sys.platform != "linux", reason="the XDG folders are Linux's")
def test_the_default_is_the_users_data_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # XDG Base Directory Specification 0.8: $XDG_DATA_HOME, or ~/.local/share where it is not set.
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert default_path({}) == tmp_path / "cuewalk" / "record.db"
    monkeypatch.delenv("XDG_DATA_HOME")
    monkeypatch.setenv("HOME", "/home/ada")
    assert default_path({}) == Path("/home/ada/.local/share/cuewalk/record.db")
    assert default_path({"CUEWALK_HOME": "~/train"}) == Path("/home/ada/train/record.db")


@posix
def test_a_new_folder_is_closed_to_others_and_an_old_one_left_alone(tmp_path: Path) -> None:
    new, old = tmp_path / "some" / "where", tmp_path / "old"
    make_folder(new)
    assert stat.S_IMODE(new.stat().st_mode) == 0o700
    old.mkdir()
    old.chmod(0o755)
    make_folder(old)
    assert stat.S_IMODE(old.stat().st_mode) == 0o755
