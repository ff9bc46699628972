"""`cuewalk rehearse`: its help tells the athletes apart, and so do their sessions."""

from __future__ import annotations

import pytest
from typer.testing import CliRunner

from assistant.athletes import ATHLETES
from assistant.commands.app import app
from tests.assistant.report.run import run

PROFILE = """
athlete = "Robin"
equipment = ["pipe", "wall", "mat"]
minutes = 40
[levels]
balance = "intermediate"
"""
SAYS = {
    "careful": "Easier", "falls": "I came off", "empty-handed": "I don't have a",
    "mumbles": "Mumble mumble", "gives-up": "My wrist hurts",
}  # fmt: skip
"""What only this athlete says."""


@pytest.fixture(scope="module")
def scripts(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    file = tmp_path_factory.mktemp("athletes") / "robin.toml"
    file.write_text(PROFILE, encoding="utf-8")
    return {name: run("rehearse", "--athlete", name, "--profile", file).out for name in ATHLETES}


def test_no_two_athletes_train_alike(scripts: dict[str, str]) -> None:
    assert len(set(scripts.values())) == len(ATHLETES)
    assert all("ended:" in script for script in scripts.values())


@pytest.mark.parametrize("name", SAYS)
def test_each_does_what_the_help_says(scripts: dict[str, str], name: str) -> None:
    spoken = f"athlete: {SAYS[name]}".casefold()
    assert spoken in scripts[name].casefold()
    assert spoken not in scripts["steady"].casefold()


def test_the_help_tells_them_apart() -> None:
    text = CliRunner().invoke(app, ["rehearse", "--help"], prog_name="cuewalk").stdout
    for name, answer in ATHLETES.items():
        assert f"{name:<13} {answer.__doc__}" in text
