"""How long a report over five years takes: `python tests/bench/report.py`.

Bar: `cuewalk report` over five years of daily sessions under 3 s, from the start of the program
to the page on disk. The first sessions are rehearsed by the real session; the others repeat what
was recorded of them, event by event, on later days.
"""

from __future__ import annotations

import json
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from assistant.athletes import ATHLETES
from assistant.coach import Coach
from assistant.files import builtin_catalogue
from assistant.preparing import begin, new_setting
from assistant.record.store import Store
from assistant.rehearsal import rehearse
from assistant.session.events import Event
from assistant.session.facts import Fact
from assistant.session.state import Setting
from tests.assistant.report.season import WAYS, profile

DAYS = 5 * 365 + 1
REHEARSED = 42
RUNS = 3
FIRST = datetime(2024, 1, 1, 18, 0, tzinfo=UTC)


def fill(path: Path) -> None:
    catalogue, who = builtin_catalogue(), profile()
    coach = Coach.of(catalogue, "en")
    kept: list[tuple[Setting, list[tuple[Event, Sequence[Fact]]]]] = []
    with Store.open(path) as store:
        store._connection.execute("PRAGMA synchronous = OFF")
        for number in range(DAYS):
            now = FIRST + timedelta(days=number)
            if number < REHEARSED:
                setting = new_setting(catalogue, who, store, now)
                entries: list[tuple[Event, Sequence[Fact]]] = []
                answer = ATHLETES[WAYS[number % len(WAYS)]]
                rehearse(
                    setting, answer, coach.render, coach.understand, number,
                    lambda event, facts, to=entries: to.append((event, facts)),
                )  # fmt: skip
                kept.append((setting, entries))
            setting, entries = kept[number % REHEARSED]
            session = begin(store, setting, now, "0" * 64, "0.1.0")
            for event, facts in entries:
                store.append(session, event, facts)


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        record, page = Path(folder) / "record.db", Path(folder) / "report.html"
        fill(record)
        program = [sys.executable, "-c", "from assistant.commands import main; main()"]
        words = [*program, "report", "--record", str(record), "--to", str(page)]
        seconds = []
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        for _ in range(RUNS):
            began = time.perf_counter()
            subprocess.run(words, check=True, capture_output=True)
            seconds.append(time.perf_counter() - began)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        spent = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        result = {
            "bench": "report",
            "sessions": DAYS,
            "record_megabytes": round(record.stat().st_size / 1e6, 1),
            "page_kilobytes": round(page.stat().st_size / 1e3),
            "runs": RUNS,
            "median_s": round(statistics.median(seconds), 2),
            "max_s": round(max(seconds), 2),
            "processor_s": round(spent / RUNS, 2),
        }
        print(json.dumps(result))


if __name__ == "__main__":
    main()
