"""How long a rehearsal takes: `python tests/bench/rehearsal.py`.

Bar: a 40-minute session under 1 s.
"""

from __future__ import annotations

import json
import statistics
import time
from datetime import datetime

from assistant.athletes import ATHLETES
from assistant.coach import Coach
from assistant.files import builtin_catalogue
from assistant.preparing import new_setting
from assistant.rehearsal import rehearse
from catalogue.model import Level, Profile

MINUTES = 40
RUNS = 5


def main() -> None:
    catalogue = builtin_catalogue()
    profile = Profile(
        athlete="Robin",
        levels=dict.fromkeys(catalogue.skills, Level.INTERMEDIATE),
        equipment=tuple(catalogue.equipment),
        minutes=MINUTES,
        space=6.0,
    )
    coach = Coach.of(catalogue, "en")
    now = datetime(2026, 3, 2, 18, 0).astimezone()
    setting = new_setting(catalogue, profile, None, now)
    seconds, minutes, events = [], 0.0, 0
    for _ in range(RUNS):
        began = time.perf_counter()
        done = rehearse(setting, ATHLETES["falls"], coach.render, coach.understand)
        seconds.append(time.perf_counter() - began)
        minutes, events = done.state.at / 60, len(done.events)
    print(
        json.dumps(
            {
                "bench": "rehearsal",
                "session_minutes": round(minutes, 1),
                "events": events,
                "seconds_median": round(statistics.median(seconds), 4),
                "bar_seconds": 1.0,
            }
        )
    )


if __name__ == "__main__":
    main()
