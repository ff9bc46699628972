"""Whatever becomes of the end of the log, what was whole before it is there, and nothing else.

CUEWALK_TEARS=100000 python -m pytest tests/assistant/record/test_tearing.py tears more often.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from random import Random

from assistant.record.header import SessionHeader
from assistant.session.events import Event
from assistant.session.facts import Fact
from tests.assistant.record.tearing import commits, opens_with_what_was_whole, written

TEARS = int(os.environ.get("CUEWALK_TEARS", "40"))

Header = Callable[..., SessionHeader]
Entry = Callable[[int], tuple[Event, list[Fact]]]


def test_torn_writes_lose_nothing_before_them(tmp_path: Path, header: Header, entry: Entry) -> None:
    random = Random(20251125)
    torn = tmp_path / "torn"
    torn.mkdir()
    lost = 0
    # One log in its first use, and one that was written over from its beginning.
    lives = [written(tmp_path / str(n), header, entry, n) for n in (60, 420)]
    for live in lives:
        # The last entries are in it, whatever was moved into the record before.
        assert 10 < len(commits(live.log.read_bytes())) <= live.entries + 1
        for _ in range(TEARS // len(lives)):
            lost += opens_with_what_was_whole(live, torn, entry, random)
    # Tears that never take anything away would show nothing.
    assert lost > TEARS
