"""Random walks through the session, as many steps as asked for.

    python -m tests.bench.walks --steps 10000000

prints one JSON line: steps walked, walks, states of different kinds, how often the ways out were
tried, sets logged. It stops with the way there at the first thing that does not hold.
"""

from __future__ import annotations

import argparse
import json
import time
from random import Random

from tests.assistant.session.walking import Seen, walk


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--steps", type=int, default=10_000_000)
    parser.add_argument("--seed", type=int, default=1)
    wanted = parser.parse_args()
    random, seen = Random(wanted.seed), Seen()
    began = time.perf_counter()
    while seen.steps < wanted.steps:
        walk(random, seen)
    told = {name: n for name, n in vars(seen).items() if name != "controls"}
    told |= {
        "kinds_of_state": len(seen.controls),
        "seconds": round(time.perf_counter() - began, 1),
        "seed": wanted.seed,
    }
    print(json.dumps(told))


if __name__ == "__main__":
    main()
