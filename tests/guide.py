"""Guides that are followed literally: their files written, their commands run, their output held
against what is really said.

A block of TOML or text begins with a comment that names its file. A `console` block has commands
after `$ ` and, below each, its output, where `...` stands for anything.
"""

from __future__ import annotations

import doctest
import io
import re
import shlex
import sys
from collections.abc import Iterator
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from unittest.mock import patch

from assistant.commands import main

_BLOCK = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_NAMED = re.compile(r"# (\S+\.\w+)\n")


@dataclass(frozen=True)
class Block:
    kind: str
    text: str

    @property
    def file(self) -> str:
        """The file that the block's first line names."""
        named = _NAMED.match(self.text)
        assert named, f"a block of {self.kind} does not name its file:\n{self.text}"
        return named[1]


@dataclass(frozen=True)
class Command:
    line: str
    output: str


def blocks(guide: Path) -> list[Block]:
    return [Block(*found.groups()) for found in _BLOCK.finditer(guide.read_text(encoding="utf-8"))]


def commands(block: Block) -> Iterator[Command]:
    """The commands of a `console` block, each with the output below it."""
    for part in re.split(r"^\$ ", block.text, flags=re.MULTILINE)[1:]:
        line, _, output = part.partition("\n")
        yield Command(line, output)


def run(line: str) -> tuple[str, int]:
    """Run a `cuewalk` command in this process: what it wrote, and its exit code."""
    line, _, source = line.partition(" < ")
    typed = Path(source).read_text(encoding="utf-8") if source else ""
    written, code = io.BytesIO(), 0
    out = io.TextIOWrapper(written, encoding="utf-8", write_through=True)
    with (
        patch.object(sys, "argv", shlex.split(line)),
        patch.object(sys, "stdin", io.StringIO(typed)),
        redirect_stdout(out),
        redirect_stderr(out),
    ):
        try:
            main()
        except SystemExit as ended:
            code = ended.code if isinstance(ended.code, int) else 0
    out.flush()
    return written.getvalue().decode(), code


def said(wanted: str, got: str) -> bool:
    """Whether an output is what is shown of it; `...` stands for anything."""
    return doctest.OutputChecker().check_output(wanted, got, doctest.ELLIPSIS)
