"""The schemas accept what the loader accepts and refuse what it refuses.

They are judged by two independent programs: jsonschema, and taplo, a TOML tool that editors use.
"""

from __future__ import annotations

import copy
import json
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft7Validator, Draft202012Validator

from assistant.demonstration.lines import FOLDER
from assistant.files import builtin_catalogue, builtin_sources
from assistant.record.export import export, to_json
from assistant.record.store import Store
from assistant.report.schemas import (
    as_text,
    catalogue_schema,
    export_schema,
    profile_schema,
)
from catalogue.load import load_catalogue
from catalogue.problems import CatalogueProblems

CATALOGUE = builtin_catalogue()
TAPLO = Path(sys.executable).with_name("taplo")


def faults(schema: dict[str, Any], value: Any) -> list[str]:
    return [error.message for error in Draft7Validator(schema).iter_errors(value)]


@pytest.mark.parametrize("name", sorted(builtin_sources()))
def test_the_built_in_files_keep_to_the_schema(name: str) -> None:
    assert faults(catalogue_schema(), tomllib.loads(builtin_sources()[name])) == []


def test_the_schemas_are_schemas() -> None:
    Draft7Validator.check_schema(catalogue_schema())
    Draft7Validator.check_schema(profile_schema(CATALOGUE))
    Draft202012Validator.check_schema(export_schema())


WALK: dict[str, Any] = {
    "id": "a_walk",
    "name": "a walk",
    "skill": "balance",
    "level": "beginner",
    "step": 1,
    "dosage": {"kind": "hold", "seconds": [30, 45]},
    "set_up": ["Stand up."],
    "cues": [{"focus": "body", "text": "Breathe."}, {"focus": "outside", "text": "Look ahead."}],
}
CHANGES: list[tuple[bool, dict[str, Any]]] = [
    (True, {}),
    (True, {"dosage": {"kind": "hold", "seconds": {"low": 30, "high": 45}}}),
    (True, {"support": {"hands": 0.5}}),
    (True, {"links": {"easier_because": "It is shorter."}}),
    (True, {"hazards": ["rolling"], "safety": ["Look out."]}),
    (True, {"dosage": {"kind": "reps_per_side", "per_side": [5, 6]}, "sides": "each"}),
    (True, {"phase": "warm_up", "skill": None, "level": None, "step": None}),
    (False, {"phase": "warm_up"}),
    (False, {"step": None}),
    (False, {"skill": None}),
    (False, {"level": "expert"}),
    (False, {"step": 4}),
    (False, {"hazards": ["rolling"]}),
    (False, {"hazards": ["rolling"], "safety": []}),
    (False, {"dosage": {"kind": "reps_per_side", "per_side": [5, 6]}}),
    (False, {"dosage": {"kind": "hold", "reps": [3, 5]}}),
    (False, {"dosage": {"kind": "hold", "seconds": [30]}}),
    (False, {"dosage": {"kind": "hold", "seconds": [0, 45]}}),
    (False, {"dosage": {"kind": "wait", "seconds": [30, 45]}}),
    (False, {"cues": [{"focus": "body", "text": "Breathe."}]}),
    (False, {"set_up": []}),
    (False, {"stepp": 1}),
    (False, {"id": "A Walk"}),
    (False, {"space": 0.1}),
]


@pytest.mark.parametrize(("right", "change"), CHANGES, ids=[str(c) for _, c in CHANGES])
def test_the_schema_and_the_loader_agree(right: bool, change: dict[str, Any]) -> None:
    movement = {key: value for key, value in {**WALK, **change}.items() if value is not None}
    document = {"name": "demo", "movement": [movement]}
    assert (faults(catalogue_schema(), document) == []) is right
    skill = '[[skill]]\nid = "balance"\nname = "balance"\n'
    text = f'name = "demo"\n{skill}[[movement]]\n' + "".join(
        f"{key} = {_toml(value)}\n" for key, value in movement.items()
    )
    try:
        load_catalogue({"a.toml": text})
    except CatalogueProblems:
        loads = False
    else:
        loads = True
    assert loads is right


def _toml(value: Any) -> str:
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {_toml(v)}" for key, v in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(map(_toml, value)) + "]"
    return f'"{value}"' if isinstance(value, str) else str(value)


def test_a_profile_may_name_what_the_catalogue_has() -> None:
    schema = profile_schema(CATALOGUE)
    demo = tomllib.loads((FOLDER / "profile.toml").read_text("utf-8"))
    assert faults(schema, demo) == []
    good = {"athlete": "Robin", "levels": {"balance": "advanced"}, "equipment": ["pipe"]}
    assert faults(schema, good) == []
    for wrong in (
        {"levels": {"juggling": "beginner"}},
        {"levels": {"balance": "expert"}},
        {"equipment": ["trampoline"]},
        {"minutes": 500},
        {"nickname": "Rob"},
    ):
        assert faults(schema, {**good, **wrong}), wrong
    assert faults(schema, {"minutes": 30})


def test_an_export_keeps_to_its_schema(season: Path) -> None:
    with Store.open(season, read_only=True) as store:
        exported = json.loads(to_json(export(store)))
    validator = Draft202012Validator(export_schema())
    assert list(validator.iter_errors(exported)) == []
    broken = copy.deepcopy(exported)
    broken["sessions"][0]["effort"] = "hard"
    assert list(validator.iter_errors(broken))


@pytest.mark.skipif(not TAPLO.exists() and not shutil.which("taplo"), reason="no taplo here")
def test_a_tool_that_editors_use_takes_them(tmp_path: Path) -> None:
    schema = tmp_path / "catalogue.schema.json"
    schema.write_text(as_text(catalogue_schema()), encoding="utf-8")
    program = str(TAPLO) if TAPLO.exists() else "taplo"

    def check(file: Path) -> subprocess.CompletedProcess[str]:
        words = [program, "check", "--schema", schema.as_uri(), str(file)]
        return subprocess.run(words, capture_output=True, text=True, cwd=tmp_path)

    good, bad = tmp_path / "good.toml", tmp_path / "bad.toml"
    source = builtin_sources()["balance.toml"]
    good.write_text(source, encoding="utf-8")
    bad.write_text(source.replace('kind = "work"', 'kind = "wrok"', 1), encoding="utf-8")
    assert check(good).returncode == 0, check(good).stderr
    refused = check(bad)
    assert refused.returncode != 0
    assert "wrok" in refused.stderr
