"""The guides in DEVELOPERS.md, followed literally in a copy of the program; and its map."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from guide import Block, blocks, commands, said

ROOT = Path(__file__).parents[1]
GUIDE = ROOT / "DEVELOPERS.md"
PACKAGES = ("assistant", "catalogue", "intents")
STEPS = ("movement", "phrase", "line", "engine")


@pytest.fixture(scope="module")
def program(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the program, with a command `cuewalk` of its own and a recording to hear."""
    copy = tmp_path_factory.mktemp("program")
    for package in PACKAGES:
        ignored = shutil.ignore_patterns("__pycache__", "*.md", "*.svg")
        shutil.copytree(ROOT / package, copy / package, ignore=ignored)
    shutil.copy(ROOT / "assistant" / "demonstration" / "start.wav", copy)
    command = copy / "bin" / "cuewalk"
    command.parent.mkdir()
    command.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m assistant "$@"\n', encoding="utf-8")
    command.chmod(0o755)
    return copy


@pytest.mark.parametrize("step", STEPS)
def test_the_guide_leads_there(program: Path, step: str) -> None:
    text = GUIDE.read_text(encoding="utf-8")
    (section,) = re.findall(rf"^### Add an? {step}\b.*?(?=^##)", text, re.MULTILINE | re.DOTALL)
    followed = program / "section.md"
    followed.write_text(section, encoding="utf-8")
    ran = 0
    for block in blocks(followed):
        if block.kind == "console":
            for command in commands(block):
                got = run(program, command.line)
                assert said(command.output, got), f"$ {command.line}\n{got}"
                ran += 1
        elif block.kind == "diff":
            change(program, block)
        else:
            (program / block.file).write_text(block.text, encoding="utf-8")
    assert ran


def run(program: Path, line: str) -> str:
    environ = {
        **os.environ, "PYTHONPATH": str(program), "CUEWALK_HOME": str(program / "home"),
        "PATH": f"{program / 'bin'}{os.pathsep}{os.environ['PATH']}",
    }  # fmt: skip
    done = subprocess.run(
        line, shell=True, cwd=program, env=environ, capture_output=True, text=True, timeout=120
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def change(program: Path, block: Block) -> None:
    """Make a change that is written as lines to take out (`-`) and to put in (`+`)."""
    head, *lines = block.text.splitlines()
    file = program / head.removeprefix("+++ ")
    before = "".join(f"{line[1:]}\n" for line in lines if line[0] in " -")
    after = "".join(f"{line[1:]}\n" for line in lines if line[0] in " +")
    text = file.read_text(encoding="utf-8")
    assert text.count(before) == 1, f"{head}: once in the file, as it is now:\n{before}"
    file.write_text(text.replace(before, after), encoding="utf-8")


@pytest.mark.parametrize("package", PACKAGES)
def test_the_map_names_every_module_and_folder(package: str) -> None:
    text = GUIDE.read_text(encoding="utf-8")
    (table,) = re.findall(rf"^\| `{package}/` \|.*?(?=^$)", text, re.MULTILINE | re.DOTALL)
    named = re.findall(r"`(\w+/?)`", table.partition("\n")[2])
    there = {
        f"{path.name}/" if path.is_dir() else path.stem
        for path in (ROOT / package).iterdir()
        if (path.is_dir() or path.suffix == ".py") and not path.name.startswith("__")
    }
    assert len(named) == len(set(named)), "named twice"
    assert set(named) - {"begin", "new", "demo"} == there


def test_files_that_are_named_exist() -> None:
    """Paths in backquotes: from the top, or from one of the packages."""
    text = re.sub(r"```.*?```", "", GUIDE.read_text(encoding="utf-8"), flags=re.DOTALL)
    paths = re.findall(r"`((?:[\w.]+/)+[\w.]*)`", text)
    assert len(paths) > 40
    for path in paths:
        assert any((ROOT / base / path).exists() for base in ("", *PACKAGES)), path
