"""Errors that a user reads are written in one way."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant import errors

ROOT = Path(__file__).parents[2] / "assistant"
KINDS = {name for name in vars(errors) if name.endswith("Error")}
ELSEWHERE = ("record",)
"""Folders whose texts are written in another way still."""


def texts() -> Iterator[tuple[str, str]]:
    """Where each error is made, and its text with `{}` for every value."""
    for file in sorted(ROOT.rglob("*.py")):
        if file.relative_to(ROOT).parts[0] in ELSEWHERE:
            continue
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", None) in KINDS and node.args:
                text = written(node.args[0])
                if text is not None:
                    yield f"{file.relative_to(ROOT)}:{node.lineno}", text


def written(node: ast.expr) -> str | None:
    if isinstance(node, ast.Constant):
        return str(node.value)
    if isinstance(node, ast.JoinedStr):
        return "".join(
            part.value if isinstance(part, ast.Constant) else "{}" for part in node.values
        )
    return None


def test_there_are_texts() -> None:
    assert len(list(texts())) > 80


@pytest.mark.parametrize(("where", "text"), list(texts()))
def test_it_begins_like_a_sentence_and_says_can_not_in_two_words(where: str, text: str) -> None:
    """What begins with the name of a file or an option keeps that name as it is."""
    assert not text[0].islower(), where
    assert "cannot" not in text, where
