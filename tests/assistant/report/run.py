"""Run a command as the user does, in this process."""

from __future__ import annotations

import contextlib
import io
import sys
from typing import NamedTuple
from unittest.mock import patch

from assistant.commands import main


class Ran(NamedTuple):
    code: int
    out: str
    err: str


def run(*words: object) -> Ran:
    """`cuewalk` with these words: exit code, standard output, standard error."""
    raw = io.BytesIO()
    out = io.TextIOWrapper(raw, encoding="utf-8", newline="", write_through=True)
    err = io.StringIO()
    code = 0
    with (
        patch.object(sys, "argv", ["cuewalk", *map(str, words)]),
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(err),
    ):
        try:
            main()
        except SystemExit as left:
            code = left.code if isinstance(left.code, int) else 1
    return Ran(code, raw.getvalue().decode("utf-8"), err.getvalue())
