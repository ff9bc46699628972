"""Dependencies point one way, and the core touches neither sound, clock nor disk."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
MAY_IMPORT = {"catalogue": {"catalogue"}, "intents": {"intents", "catalogue"}}
SHELL = {
    "os", "io", "pathlib", "shutil", "tempfile", "glob", "sqlite3", "socket", "subprocess",
    "threading", "multiprocessing", "asyncio", "queue", "time", "sounddevice", "soxr", "pyttsx3",
    "vosk", "pocketsphinx", "onnxruntime", "platformdirs", "urllib", "http", "importlib",
}  # fmt: skip
PURE_SESSION = SHELL | {"datetime"}


def modules(folder: str) -> Iterator[Path]:
    yield from sorted((ROOT / folder).rglob("*.py"))


def imported(path: Path) -> set[str]:
    """The top-level names that a module imports, wherever in it."""
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name.partition(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            names.add(node.module.partition(".")[0])
    return names


@pytest.mark.parametrize("package", sorted(MAY_IMPORT))
def test_dependencies_point_one_way(package: str) -> None:
    ours = {"catalogue", "intents", "assistant"}
    for path in modules(package):
        wrong = imported(path) & ours - MAY_IMPORT[package]
        assert not wrong, f"{path.relative_to(ROOT)} imports {wrong}"


@pytest.mark.parametrize("package", ["catalogue", "intents", "assistant/session"])
def test_the_core_is_pure(package: str) -> None:
    forbidden = PURE_SESSION if package == "assistant/session" else SHELL
    for path in modules(package):
        wrong = imported(path) & forbidden
        assert not wrong, f"{path.relative_to(ROOT)} imports {wrong}"
        calls = {
            ast.unparse(node.func)
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
            if isinstance(node, ast.Call)
        }
        clocks = {"open", "print", "input", "datetime.now", "date.today", "datetime.today"}
        assert not calls & clocks, f"{path.relative_to(ROOT)} calls {calls & clocks}"
