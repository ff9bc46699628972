"""A program killed in the middle: what it said was on record is on record.

CUEWALK_KILLS=2000 python -m pytest tests/assistant/record/test_crash.py kills more often.
"""

from __future__ import annotations

import os
import random
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from assistant.record.header import SessionHeader
from assistant.record.store import Store
from assistant.session.events import Event
from assistant.session.facts import Fact

pytestmark = pytest.mark.skipif(os.name != "posix", reason="kills with a POSIX signal")

KILLS = int(os.environ.get("CUEWALK_KILLS", "40"))

Header = Callable[..., SessionHeader]
Entry = Callable[[int], tuple[Event, list[Fact]]]


def _append_until_killed(path: Path, header: SessionHeader, entry: Entry, told: int) -> None:
    with Store.open(path) as store:
        session = store.begin(header)
        os.write(told, b"begun\n")
        number = 0
        while True:
            number += 1
            store.append(session, *entry(number))
            os.write(told, b"%d\n" % number)


def test_what_was_acknowledged_survives_a_kill(path: Path, header: Header, entry: Entry) -> None:
    chance = random.Random(20250106)
    acknowledged: dict[int, int] = {}
    for kill in range(KILLS):
        said = _killed_after(
            chance.choice([0.002, 0.02, 0.2]) * chance.random() + 0.001,
            lambda told, kill=kill: _append_until_killed(path, header(seed=kill), entry, told),
        )
        if said:
            acknowledged[kill] = len(said) - 1
        with Store.open(path) as store:
            begun = {store.header(info.id).seed: info.id for info in store.sessions()}
            assert acknowledged.keys() <= begun.keys()
            if kill in begun:
                assert store.unfinished() == begun[kill]
                kept = store.events(begun[kill])
                # One more may be there: killed after it was written and before it was said.
                assert len(kept) - acknowledged.get(kill, 0) in (0, 1)
                entries = [entry(number) for number in range(1, len(kept) + 1)]
                assert kept == [event for event, _ in entries]
                assert store.facts(begun[kill]) == [fact for _, facts in entries for fact in facts]
    with Store.open(path) as store:
        for info in store.sessions():
            assert len(store.events(info.id)) >= acknowledged.get(info.header.seed, 0)
    assert sum(acknowledged.values()) > KILLS


def test_a_kill_while_the_record_is_made(tmp_path: Path, header: Header, entry: Entry) -> None:
    def work(path: Path) -> Callable[[int], None]:
        return lambda told: _append_until_killed(path, header(), entry, told)

    chance = random.Random(6)
    made, longest = 0, 0.004
    while not _killed_after(longest, work(tmp_path / f"try-{longest}" / "record.db")):
        longest *= 1.5
    for kill in range(KILLS):
        path = tmp_path / str(kill) / "record.db"
        _killed_after(longest * 1.2 * chance.random(), work(path))
        made += path.exists()
        with Store.open(path) as store:
            session = store.begin(header())
            store.append(session, *entry(1))
            assert store.events(session) == [entry(1)[0]]
    assert 0 < made < KILLS


def _killed_after(seconds: float, work: Callable[[int], None]) -> list[bytes]:
    """Run the work in a process, kill it, and return the lines that it had said."""
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.close(reader)
            work(writer)
        finally:
            os._exit(1)
    os.close(writer)
    time.sleep(seconds)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    with os.fdopen(reader, "rb") as answers:
        return answers.read().split(b"\n")[:-1]


@pytest.mark.skipif(shutil.which("strace") is None, reason="strace shows what reaches the disk")
def test_an_append_flushes_before_it_returns(path: Path, tmp_path: Path) -> None:
    """strace, a program of its own, sees the log written and flushed before each answer."""
    script = (
        "import os, sys\n"
        "from assistant.record.header import SessionHeader\n"
        "from assistant.record.store import Store\n"
        "from assistant.session.events import TimerDue\n"
        "store = Store.open(sys.argv[1])\n"
        "session = store.begin(SessionHeader(started_utc='2025-01-06T17:30:00+00:00',\n"
        "    athlete='Ada', language='en', profile='{}', plan='{}', catalogue='demo',\n"
        "    catalogue_digest='0', seed=1, program='0'))\n"
        "os.write(1, b'begun\\n')\n"
        "for number in range(20):\n"
        "    store.append(session, TimerDue(float(number), 't'))\n"
        "    os.write(1, b'kept\\n')\n"
    )
    trace = tmp_path / "trace"
    done = subprocess.run(
        [
            "strace", "-f", "-o", str(trace), "-e", "trace=pwrite64,fsync,fdatasync,write",
            sys.executable, "-c", script, str(path),
        ],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    if done.returncode and "ptrace" in done.stderr:
        pytest.skip("strace may not trace here")
    assert done.returncode == 0, done.stderr
    calls = trace.read_text("utf-8").split('"begun\\n"')[1]
    between = calls.split('write(1, "kept\\n"')
    assert len(between) == 21
    for stretch in between[:-1]:
        written = stretch.rindex("pwrite64(")
        assert re.search(r"\b(fsync|fdatasync)\(\d+\)\s+= 0", stretch[written:])
