"""What planning costs: python tests/bench/planning.py prints one JSON line.

Milliseconds of processor time to plan one session from catalogues of 100, 1,000 and 10,000
movements with a year's log: `first_ms` with the index of the catalogue to be built, `median_ms` and
`p95_ms` with it kept.
`growth` is the time at 10,000 over the time at 1,000 (first plans), `n_log_n` what n log n would
allow; `week_ms` is a week's plan at 1,000.
"""

from __future__ import annotations

import argparse
import json
import math
import statistics
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from synthetic import catalogue_of, history_of, profile_of

from catalogue.conditions import Conditions
from catalogue.planning import plan_session
from catalogue.week import plan_week

SIZES = (100, 1_000, 10_000)
DAYS = 365


def measure(size: int, times: int) -> dict[str, float]:
    catalogue, profile = catalogue_of(size), profile_of()
    history, conditions = history_of(catalogue, DAYS), Conditions.of(profile)
    taken = []
    first = []
    for number in range(times):
        fresh = catalogue.model_copy()
        for kept in (first, taken):
            began = time.process_time()
            plan_session(fresh, profile, conditions, history, day=DAYS + 1 + number)
            kept.append((time.process_time() - began) * 1e3)
    return {
        "first_ms": round(statistics.median(first), 2),
        "median_ms": round(statistics.median(taken), 2),
        "p95_ms": round(sorted(taken)[len(taken) * 95 // 100], 2),
    }


def week(size: int, times: int) -> float:
    catalogue, profile = catalogue_of(size), profile_of()
    history, conditions = history_of(catalogue, DAYS), Conditions.of(profile)
    taken = []
    for _ in range(times):
        began = time.process_time()
        plan_week(catalogue, profile, conditions, history, DAYS + 1)
        taken.append((time.process_time() - began) * 1e3)
    return round(statistics.median(taken), 2)


def main() -> None:
    parser = argparse.ArgumentParser(description="What planning costs; prints one JSON line.")
    parser.add_argument("--times", type=int, default=20, help="plans for each size")
    times = parser.parse_args().times
    sizes = {str(size): measure(size, times) for size in SIZES}
    small, large = SIZES[1:]
    growth = sizes[str(large)]["first_ms"] / sizes[str(small)]["first_ms"]
    allowed = large * math.log(large) / (small * math.log(small))
    print(
        json.dumps(
            {
                "bench": "planning",
                "log_days": DAYS,
                "sizes": sizes,
                "growth": round(growth, 2),
                "n_log_n": round(allowed, 2),
                "week_ms": week(small, max(3, times // 4)),
            }
        )
    )


if __name__ == "__main__":
    main()
