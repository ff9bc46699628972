"""The coach's guide, followed literally from an empty folder."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import get_args

import pytest

sys.path.insert(0, str(Path(__file__).parents[1]))
from guide import blocks, commands, run, said

from assistant.files import read_catalogue, read_translated
from catalogue.model import (
    BodyPart,
    Cue,
    Dosage,
    Equipment,
    Hazard,
    Level,
    Links,
    Movement,
    Phase,
    Sides,
    Skill,
    StandIn,
    Support,
)
from catalogue.problems import CatalogueProblems

GUIDE = Path(__file__).parents[2] / "catalogue" / "GUIDE.md"
WITH_MISTAKES = "wrong"


def loads(folder: Path) -> None:
    """The catalogue is whole, or has the mistakes that the guide wants to show."""
    if folder.name == WITH_MISTAKES:
        with pytest.raises(CatalogueProblems):
            read_catalogue(folder)
    else:
        made = read_catalogue(folder)
        for language in ("en", "ko"):
            read_translated(folder, made, language)


def test_every_file_and_every_command_of_the_guide(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("CUEWALK_HOME", str(tmp_path / "home"))
    ran = 0
    for block in blocks(GUIDE):
        if block.kind == "console":
            for command in commands(block):
                got, code = run(command.line)
                assert said(command.output, got), f"$ {command.line}\n{got}"
                assert code == (2 if WITH_MISTAKES in command.line else 0), command.line
                ran += 1
        else:
            file = tmp_path / block.file
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_text(block.text, encoding="utf-8")
            if block.kind == "toml" and file.parent != tmp_path:
                loads(tmp_path / file.relative_to(tmp_path).parts[0])
    assert ran > 11


def test_every_field_that_a_coach_can_write_is_in_the_guide() -> None:
    text = GUIDE.read_text(encoding="utf-8")
    written = "\n".join(block.text for block in blocks(GUIDE))
    for model in (Movement, Equipment, Skill, StandIn, Cue, Support, Links):
        for field in model.model_fields:
            told = f"`{field}`" in text or f"`{field} = " in text
            assert told or f"{field} = " in written, f"{model.__name__}.{field}"


def test_every_value_that_a_field_can_have_is_in_the_guide() -> None:
    text = GUIDE.read_text(encoding="utf-8")
    kinds = [get_args(m.model_fields["kind"].annotation)[0] for m in get_args(get_args(Dosage)[0])]
    named = [*Level, *Hazard, *BodyPart, *Phase, *Sides]
    left_out = {"main", "none"}
    for value in [*kinds, *(one.value for one in named)]:
        assert value in left_out or f'"{value}"' in text or f"`{value}`" in text, value
