"""What the documents name is there: commands and their options, files and headings, messages."""

from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
import typer

from assistant.coach import Coach
from assistant.commands.app import app
from assistant.files import builtin_catalogue
from intents.scope import EVERYTHING

ROOT = Path(__file__).parents[1]
PROGRAM = typer.main.get_command(app)
DOCUMENTS = (
    "README.md",
    "DEVELOPERS.md",
    "assistant/TRAINING.md",
    "assistant/TROUBLESHOOTING.md",
    "catalogue/GUIDE.md",
    "intents/PHRASES.md",
    "intents/PHRASES.ko.md",
)
_LINK = re.compile(r"\]\(([^)\s]+)\)")
_COMMAND = re.compile(r"\bcuewalk ([^`\n#<|]*)")
_QUOTED = re.compile(r"\"([^\"\n]+)\"")
_CODE = re.compile(r"```.*?```|`[^`\n]*`", re.DOTALL)
SPOKEN_BY_PEOPLE = 3
"""A quotation of this many words or fewer is what an athlete says, not a message."""


def text_of(document: str) -> str:
    return (ROOT / document).read_text(encoding="utf-8")


@pytest.mark.parametrize("document", DOCUMENTS)
def test_links_lead_somewhere(document: str) -> None:
    folder = (ROOT / document).parent
    for link in _LINK.findall(text_of(document)):
        if "://" in link:
            continue
        path, _, anchor = link.partition("#")
        target = (folder / path).resolve() if path else ROOT / document
        assert target.is_file(), link
        assert target.is_relative_to(ROOT), link
        if anchor:
            assert anchor in anchors(target.read_text(encoding="utf-8")), link


def anchors(text: str) -> set[str]:
    """The names that GitHub gives to headings."""
    titles = re.findall(r"^#+ (.*)$", text, re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", title.lower()).replace(" ", "-") for title in titles}


@pytest.mark.parametrize("document", DOCUMENTS)
def test_commands_and_options_that_are_named_exist(document: str) -> None:
    for code in _CODE.findall(text_of(document)):
        for line in _COMMAND.findall(code):
            names_a_command(line.split())


def names_a_command(words: list[str]) -> None:
    command = PROGRAM
    while words and hasattr(command, "commands") and not words[0].startswith("-"):
        assert words[0] in command.commands, f"there is no command {words[0]!r}"
        command = command.commands[words[0]]
        words = words[1:]
    options = {option for parameter in command.params for option in parameter.opts}
    for word in words:
        if re.fullmatch(r"--?[a-z][a-z-]*", word):
            assert word in options | {"--help", "-h"}, f"{command.name} has no option {word}"


def test_what_the_readme_says_to_say_is_understood() -> None:
    coach = Coach.of(builtin_catalogue(), "en")
    section = text_of("README.md").partition("## What to say")[2].partition("##")[0]
    phrases = _QUOTED.findall(section)
    assert len(phrases) > 15
    for phrase in phrases:
        assert coach.understand(phrase, EVERYTHING).decision == "act", phrase


def test_messages_that_are_quoted_are_said() -> None:
    quoted = [
        text
        for text in _QUOTED.findall(_CODE.sub("", text_of("assistant/TROUBLESHOOTING.md")))
        if len(text.split()) > SPOKEN_BY_PEOPLE
    ]
    for text in quoted:
        assert any(text.rstrip(".…").strip() in said for said in messages()), text
    assert len(quoted) > 30


@cache
def messages() -> frozenset[str]:
    """Every text in the program and in the English lines, with … for each value in it."""
    lines = tomllib.loads(text_of("intents/data/en/lines.toml"))["lines"]
    spoken = [t for line in lines.values() for t in ([line] if isinstance(line, str) else line)]
    found = {re.sub(r"\{[^}]*\}", "…", text) for text in spoken}
    for package in ("assistant", "catalogue", "intents"):
        for file in sorted((ROOT / package).rglob("*.py")):
            found.update(texts_in(ast.parse(file.read_text(encoding="utf-8"))))
    phrases = text_of("intents/PHRASES.md")
    return frozenset({*found, *re.findall(r"\"([^\"]+)\"", phrases)})


def texts_in(tree: ast.Module) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value
        elif isinstance(node, ast.JoinedStr):
            yield "".join(
                part.value if isinstance(part, ast.Constant) else "…" for part in node.values
            )
