"""A few kills of whole sessions; `python -m tests.bench.kills` does hundreds."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

import pytest

from tests.assistant.commands.breaking_off import Set, on_a_full_disk, run, undisturbed

pytestmark = pytest.mark.skipif(os.name != "posix", reason="kills with a POSIX signal")


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Sequence[Set]:
    return undisturbed(tmp_path_factory.mktemp("whole") / "home")


def test_a_session_killed_at_any_moment_goes_on_where_it_was(
    tmp_path: Path, whole: Sequence[Set]
) -> None:
    told = run(tmp_path, kills=2, seed=2, whole=whole, at_most=2)
    assert told.kills == 2
    assert told.resumed >= 1
    assert told.shown >= 8


def test_a_session_that_fills_the_disk_goes_on_when_there_is_room(
    tmp_path: Path, whole: Sequence[Set]
) -> None:
    told = run(tmp_path, kills=1, seed=1, whole=whole, way=on_a_full_disk(4), at_most=1)
    assert told.kills == told.sessions == 1
