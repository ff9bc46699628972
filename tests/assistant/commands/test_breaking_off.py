"""A few kills of whole sessions; `python -m tests.bench.kills` does hundreds."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.assistant.commands.breaking_off import on_a_full_disk, run

pytestmark = pytest.mark.skipif(os.name != "posix", reason="kills with a POSIX signal")


def test_a_session_killed_at_any_moment_goes_on_where_it_was(tmp_path: Path) -> None:
    told = run(tmp_path, kills=3, seed=2, at_most=3)
    assert told.kills == 3
    assert told.resumed >= 2
    assert told.shown >= 8


def test_a_session_that_fills_the_disk_goes_on_when_there_is_room(tmp_path: Path) -> None:
    told = run(tmp_path, kills=2, seed=1, way=on_a_full_disk(4), at_most=1)
    assert told.kills == told.sessions == 2
