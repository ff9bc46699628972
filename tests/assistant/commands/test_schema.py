"""`cuewalk schema` as a user meets it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from jsonschema.validators import validator_for

from tests.assistant.report.run import run

KINDS = ("catalogue", "profile", "export")


@pytest.mark.parametrize("kind", KINDS)
def test_each_schema_is_one(kind: str) -> None:
    ran = run("schema", kind)
    assert ran.code == 0
    schema = json.loads(ran.out)
    validator_for(schema).check_schema(schema)
    assert schema["title"]


def test_all_into_a_folder(tmp_path: Path) -> None:
    folder = tmp_path / "schemas"
    assert run("schema", "--to", folder).code == 0
    assert {file.name for file in folder.iterdir()} == {f"{kind}.schema.json" for kind in KINDS}
    file = tmp_path / "one.json"
    assert run("schema", "profile", "--to", file).code == 0
    assert file.read_text() == (folder / "profile.schema.json").read_text()


def test_a_profile_of_another_catalogue(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text(
        'name = "demo"\n[[skill]]\nid = "juggling"\nname = "juggling"\n'
        '[[movement]]\nid = "one_ball"\nname = "one ball"\nskill = "juggling"\n'
        'level = "beginner"\nstep = 1\ndosage = { kind = "hold", seconds = [30, 45] }\n'
        'set_up = ["Take a ball."]\n'
        'cues = [{ focus = "body", text = "Breathe." }, { focus = "body", text = "Look up." }]\n'
    )
    ran = run("schema", "profile", "--catalogue", tmp_path)
    assert ran.code == 0, ran.err
    assert list(json.loads(ran.out)["properties"]["levels"]["properties"]) == ["juggling"]


def test_bad_input() -> None:
    ran = run("schema", "movement")
    assert ran.code == 2
    assert "choose one of: catalogue, profile, export" in ran.err
    assert run("schema").code == 2
