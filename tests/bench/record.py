"""What the record costs: python tests/bench/record.py [--folder DIR] prints one JSON line.

Milliseconds to append one entry (an event and a set that follows from it), flushed as it is
(`full`) and as it is not (`normal`), beside one bare write and flush of a page on the same disk;
seconds to open a record of `--sessions` sessions, to read its history, and to export it.
"""

from __future__ import annotations

import argparse
import json
import os
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from assistant.record.export import export, to_json
from assistant.record.header import SessionHeader
from assistant.record.history import history
from assistant.record.store import Store
from assistant.session.events import Heard, InputEnded, TimerDue
from assistant.session.facts import EffortLogged, SessionEnded, SetLogged
from intents.meaning import Meaning

EVENTS, SETS = 400, 30
"""In a session of 40 minutes: a rough count of what is heard, said and timed, and of sets."""


def header(number: int) -> SessionHeader:
    return SessionHeader(
        started_utc=f"2025-01-01T{number % 24:02}:00:00+00:00", athlete="Ada", language="en",
        profile='{"athlete":"Ada"}', plan="{}", catalogue="demo", catalogue_digest="0" * 64,
        seed=number, program="0",
    )  # fmt: skip


def heard(number: int) -> Heard:
    words = (Meaning("log", {"seconds": 38}), Meaning("effort", {"rpe": 7}))
    return Heard(number + 0.5, "log thirty eight seconds effort seven", words, 0.93, "act", number)


def done(number: int) -> SetLogged:
    return SetLogged(number, "roller_stand", 1 + number % 3, "left", 40, "timer", seconds=38.25)


def percentiles(work: Callable[[int], object], times: int) -> dict[str, float]:
    taken = []
    for number in range(times):
        began = time.perf_counter()
        work(number)
        taken.append(time.perf_counter() - began)
    taken.sort()
    return {
        "median_ms": round(taken[times // 2] * 1e3, 3),
        "p99_ms": round(taken[times * 99 // 100] * 1e3, 3),
        "max_ms": round(taken[-1] * 1e3, 3),
    }


def appends(path: Path, durability: str, times: int) -> dict[str, float]:
    with Store.open(path) as store:
        store._connection.execute(f"PRAGMA synchronous = {durability}")
        session = store.begin(header(1))
        return percentiles(lambda at: store.append(session, heard(at), [done(at)]), times)


def bare_flush(path: Path, times: int) -> dict[str, float]:
    handle = os.open(path, os.O_CREAT | os.O_WRONLY, 0o600)
    page = b"x" * 4096

    def work(number: int) -> None:
        os.pwrite(handle, page, number * 4096)
        os.fsync(handle)

    try:
        return percentiles(work, times)
    finally:
        os.close(handle)


def fill(path: Path, sessions: int) -> None:
    with Store.open(path) as store:
        store._connection.execute("PRAGMA synchronous = OFF")
        for number in range(sessions):
            session = store.begin(header(number))
            for at in range(EVENTS):
                facts = [done(at)] if at % (EVENTS // SETS) == 0 else []
                store.append(session, heard(at) if at % 2 else TimerDue(at, "t"), facts)
            last = [EffortLogged("roller_stand", 7), EffortLogged(None, 6), SessionEnded("done")]
            store.append(session, InputEnded(EVENTS), last)


def seconds(work: Callable[[], object]) -> float:
    began = time.perf_counter()
    work()
    return round(time.perf_counter() - began, 3)


def measure(folder: Path, times: int, sessions: int) -> dict[str, object]:
    result: dict[str, object] = {
        "bench": "record",
        "sqlite": sqlite3.sqlite_version,
        "appends": times,
        "full": appends(folder / "full.db", "FULL", times),
        "normal": appends(folder / "normal.db", "NORMAL", times),
        "bare_flush": bare_flush(folder / "bare", times),
        "open_new_s": seconds(lambda: Store.open(folder / "new.db").close()),
    }
    big = folder / "big.db"
    fill(big, sessions)
    result |= {
        "sessions": sessions,
        "megabytes": round(big.stat().st_size / 1e6, 1),
        "open_s": seconds(lambda: Store.open(big).close()),
    }
    with Store.open(big, read_only=True) as store:
        result |= {
            "unfinished_s": seconds(store.unfinished),
            "sessions_s": seconds(store.sessions),
            "history_s": seconds(lambda: history(store)),
            "replay_one_s": seconds(lambda: store.events(sessions)),
            "export_json_s": seconds(lambda: to_json(export(store))),
        }
    return result


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--folder", help="a folder on the disk to measure")
    parser.add_argument("--times", type=int, default=2000, help="appends to measure")
    parser.add_argument("--sessions", type=int, default=500, help="sessions in the big record")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory(dir=given.folder) as folder:
        print(json.dumps(measure(Path(folder), given.times, given.sessions)))


if __name__ == "__main__":
    main()
