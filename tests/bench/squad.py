"""How long a squad's exports take: `python tests/bench/squad.py`.

Bar: 10,000 sessions under 5 s, from the start of the program to the findings. Each athlete's
exports are those of rehearsed sessions, told again on other days.
"""

from __future__ import annotations

import json
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from datetime import datetime, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from assistant.record.export import export, to_json
from assistant.record.store import Store
from tests.assistant.report.season import profile, train

ATHLETES, SESSIONS, REHEARSED = 50, 200, 30
RUNS = 3
FIRST = datetime(2026, 1, 1, 18)


def fill(folder: Path) -> int:
    """Write the exports; returns their bytes."""
    record = folder / "record.db"
    train(record, profile(), REHEARSED)
    with Store.open(record, read_only=True) as store:
        whole = json.loads(to_json(export(store)))
    size = 0
    for athlete in range(ATHLETES):
        sessions = []
        for number in range(SESSIONS):
            session = dict(whole["sessions"][(number + athlete) % REHEARSED])
            session["session"] = number + 1
            session["athlete"] = f"athlete {athlete + 1}"
            session["started"] = (FIRST + timedelta(days=number)).isoformat()
            sessions.append(session)
        file = folder / "exports" / f"{athlete:03}.json"
        file.parent.mkdir(exist_ok=True)
        file.write_text(json.dumps({**whole, "sessions": sessions}, indent=2), encoding="utf-8")
        size += file.stat().st_size
    return size


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        size = fill(Path(folder))
        words = ["-c", "from assistant.commands import main; main()", "squad"]
        seconds = []
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        for _ in range(RUNS):
            began = time.perf_counter()
            done = subprocess.run(
                [sys.executable, *words, str(Path(folder) / "exports")],
                check=True, capture_output=True, text=True,
            )  # fmt: skip
            seconds.append(time.perf_counter() - began)
        assert f"{ATHLETES} athletes, {ATHLETES * SESSIONS} sessions" in done.stdout
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        spent = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        result = {
            "bench": "squad",
            "athletes": ATHLETES,
            "sessions": ATHLETES * SESSIONS,
            "megabytes": round(size / 1e6, 1),
            "runs": RUNS,
            "median_s": round(statistics.median(seconds), 2),
            "max_s": round(max(seconds), 2),
            "processor_s": round(spent / RUNS, 2),
        }
        print(json.dumps(result))


if __name__ == "__main__":
    main()
