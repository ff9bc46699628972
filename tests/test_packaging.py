"""What is installed: every data file is in the wheel, and nothing is for one system alone."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest
from packaging.markers import default_environment
from packaging.requirements import Requirement

ROOT = Path(__file__).parents[1]
PACKAGES = ("assistant", "catalogue", "intents")
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]


def files() -> set[str]:
    """Every file of the packages but what is to be looked at, and what Python leaves there."""
    return {
        path.relative_to(ROOT).as_posix()
        for package in PACKAGES
        for path in (ROOT / package).rglob("*")
        if path.is_file()
        and path.suffix not in (".md", ".svg")
        and "__pycache__" not in path.parts
        and not path.name.startswith(".")
    }


def test_the_wheel_has_every_file_of_the_packages(tmp_path: Path) -> None:
    """Built as pip builds it, from a copy, with the setuptools that is here."""
    for name in (*PACKAGES, "pyproject.toml", "README.md"):
        here = ROOT / name
        if here.is_dir():
            shutil.copytree(here, tmp_path / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(here, tmp_path / name)
    subprocess.run(
        [sys.executable, "-c", "from setuptools import build_meta; build_meta.build_wheel('out')"],
        cwd=tmp_path, check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    (wheel,) = (tmp_path / "out").glob("*.whl")
    with zipfile.ZipFile(wheel) as archive:
        inside = {name for name in archive.namelist() if ".dist-info/" not in name}
        (entry,) = (n for n in archive.namelist() if n.endswith("entry_points.txt"))
        assert "cuewalk = assistant.commands:main" in archive.read(entry).decode()
    assert inside == files()


UNIX_ALONE = (
    "crypt", "fcntl", "grp", "nis", "ossaudiodev", "pty", "pwd", "readline", "resource",
    "spwd", "syslog", "termios", "tty",
)  # fmt: skip
"""Modules that Python has on Unix and not on Windows (the library reference, "Availability")."""

IMPORT_ALL = """
import importlib, pkgutil, sys

class Missing:
    def find_spec(self, name, path=None, target=None):
        if name in {blocked!r}:
            raise ModuleNotFoundError(f"No module named {{name!r}}", name=name)

# What Python itself runs on here (os, site, the import system) has what it needs already.
for name in {blocked!r}:
    sys.modules.pop(name, None)
sys.meta_path.insert(0, Missing())
seen = 0
for package in {packages!r}:
    path = importlib.import_module(package).__path__
    for module in pkgutil.walk_packages(path, package + "."):
        if not module.name.endswith("__main__"):
            importlib.import_module(module.name)
            seen += 1
print(seen)
"""


def test_every_module_is_imported_without_what_unix_alone_has() -> None:
    done = subprocess.run(
        [sys.executable, "-c", IMPORT_ALL.format(blocked=UNIX_ALONE, packages=PACKAGES)],
        cwd=ROOT, env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert int(done.stdout) > 150


def wanted(system: str, machine: str) -> dict[str, Requirement]:
    """What is installed with the program, by name."""
    environ = {**default_environment(), "sys_platform": system, "platform_machine": machine}
    return {
        each.name: each
        for each in map(Requirement, PROJECT["dependencies"])
        if each.marker is None or each.marker.evaluate(environ)
    }


@pytest.mark.parametrize(
    ("system", "needs"), [("linux", True), ("win32", False), ("darwin", False)]
)
def test_the_speech_library_comes_where_the_system_has_none(system: str, needs: bool) -> None:
    found = set(wanted(system, "x86_64"))
    assert ("espeakng-loader" in found) is needs
    assert {"pyttsx3", "vosk", "pocketsphinx", "sounddevice"} <= found


@pytest.mark.parametrize(
    ("system", "machine", "comes"),
    [
        *(("linux", "x86_64", True), ("linux", "aarch64", True), ("linux", "armv7l", False)),
        *(("darwin", "arm64", True), ("darwin", "x86_64", False), ("win32", "AMD64", True)),
    ],
)
def test_the_network_comes_where_there_is_a_wheel_of_it(
    system: str, machine: str, comes: bool
) -> None:
    """The wheels that PyPI lists for moonshine-voice 0.1.0, the last that brings its network."""
    found = wanted(system, machine)
    assert ("moonshine-voice" in found) is comes
    if comes:
        assert "onnxruntime" in found
        versions = found["moonshine-voice"].specifier
        assert versions.contains("0.1.0")
        assert not versions.contains("0.1.1")
