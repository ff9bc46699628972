"""A few kills of whole sessions; `python -m tests.bench.kills` does hundreds."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.assistant.commands.breaking_off import run

pytestmark = pytest.mark.skipif(os.name != "posix", reason="kills with a POSIX signal")


def test_a_session_killed_at_any_moment_goes_on_where_it_was(tmp_path: Path) -> None:
    told = run(tmp_path, kills=3, seed=2, at_most=3)
    assert told.kills == 3
    assert told.resumed >= 2
    assert told.shown >= 8
