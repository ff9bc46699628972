"""The guide "Add a language" in DEVELOPERS.md, followed step by step for a small made-up one.

The language is English with a few words of its own, so that every step shows: what is heard, what
is said, how numbers and names are.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
DATA = Path("intents") / "data"
CODE = "xx"


def changed(file: Path, *pairs: tuple[str, str]) -> None:
    text = file.read_text(encoding="utf-8")
    for old, new in pairs:
        assert old in text, (file, old)
        text = text.replace(old, new, 1)
    file.write_text(text, encoding="utf-8")


@pytest.fixture(scope="module")
def program(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the program with the language added."""
    copy = tmp_path_factory.mktemp("program")
    for package in ("assistant", "catalogue", "intents"):
        ignored = shutil.ignore_patterns("__pycache__", "*.wav")
        shutil.copytree(ROOT / package, copy / package, ignore=ignored)
    # 1. copy a language that is near, and put its own words in
    folder = copy / DATA / CODE
    shutil.copytree(ROOT / DATA / "en", folder)
    changed(
        folder / "phrases.toml", ('"yes",', '"yes", "jawohl",'), ('"start",', '"start", "los",')
    )
    lines = folder / "lines.toml"
    said = re.sub('(?m)^"pain.ask" = .*$', '"pain.ask" = "Aua today?"', lines.read_text("utf-8"))
    lines.write_text(said, encoding="utf-8")
    changed(folder / "athletes.toml", ('"yes"', '"jawohl"'), ('"start"', '"los"'))
    for name in ("lines", "reasons", "athletes"):
        changed(folder / f"{name}.toml", ('language = "en"', f'language = "{CODE}"'))
    # 2. translate the catalogue
    words = copy / "catalogue" / "data" / CODE / "skills.toml"
    words.parent.mkdir()
    words.write_text(
        f'language = "{CODE}"\n[movement.line_walk]\nname = "Strichlauf"\n', encoding="utf-8"
    )
    return copy


def run(program: Path, *words: str, stdin: str = "") -> subprocess.CompletedProcess[str]:
    environ = {**os.environ, "PYTHONPATH": str(program), "CUEWALK_HOME": str(program / "home")}
    return subprocess.run(
        [sys.executable, "-m", "assistant", *words],
        cwd=program, env=environ, input=stdin, capture_output=True, encoding="utf-8", timeout=60,
        check=False,
    )  # fmt: skip


def test_the_guide_names_every_file_of_a_language() -> None:
    guide = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    section = guide.split("### Add a language")[1].split("\n#")[0]
    for file in (ROOT / DATA / "en").iterdir():
        assert f"`{file.name}`" in section, file.name
    for place in re.findall(r"`([\w./]+/)`", section):
        assert (ROOT / place.replace("<code>", "ko")).is_dir(), place


def test_the_new_language_is_understood(program: Path) -> None:
    done = run(program, "understand", "--language", CODE, "--place", "ready", stdin="los\n")
    assert '"id": "start"' in done.stdout, done.stderr


def test_it_rehearses_a_whole_session(program: Path) -> None:
    done = run(program, "rehearse", "--language", CODE)
    assert done.returncode == 0, done.stderr
    assert "Aua today?" in done.stdout
    assert "athlete: Jawohl" in done.stdout
    assert "Strichlauf" in done.stdout
    assert "ended: done" in done.stdout


def test_the_check_names_what_is_not_translated(program: Path) -> None:
    done = run(program, "check", "--language", CODE)
    assert "stork_stand" in done.stdout
    assert f"not in '{CODE}'; translate it" in done.stdout


def test_a_broken_file_is_told(program: Path) -> None:
    broken = program / DATA / "yy"
    shutil.copytree(ROOT / DATA / "en", broken)
    changed(broken / "lines.toml", ("{part|word}", "{part|shout}"))
    done = run(program, "rehearse", "--language", "yy")
    assert done.returncode == 2
    assert "The lines of language 'yy' are wrong" in done.stderr
    changed(broken / "phrases.toml", ("[intents.next]", "[intents.nextt]"))
    done = run(program, "understand", "--language", "yy")
    assert done.returncode == 2, done.stderr
    assert "Traceback" not in done.stderr
