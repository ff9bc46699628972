"""`cuewalk phrases`: written to a file or to standard output, with a coach's own equipment."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from assistant.commands.app import app
from assistant.commands.new import starter


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CUEWALK_HOME", str(tmp_path / "home"))


def test_a_coachs_own_equipment_is_named(tmp_path: Path) -> None:
    folder = tmp_path / "mine"
    folder.mkdir()
    for name, text in starter().items():
        (folder / name).write_text(text.replace('name = "pipe"', 'name = "timber"'), "utf-8")
    listed = CliRunner().invoke(app, ["phrases", "--catalogue", str(folder)])
    assert listed.exit_code == 0
    assert listed.stdout.startswith("# What you can say")
    assert "known besides: timber, roller," in listed.stdout


def test_it_is_written_to_a_file_in_another_language(tmp_path: Path) -> None:
    file = tmp_path / "list.md"
    done = CliRunner().invoke(app, ["phrases", "--language", "ko", "--to", str(file)])
    assert done.exit_code == 0
    assert str(file) in done.stdout
    assert "시작" in file.read_text(encoding="utf-8")
