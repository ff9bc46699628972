"""Random walks through the session, as many steps as asked for.

    python -m tests.bench.walks --steps 10000000

prints one JSON line: steps walked, walks, states of different kinds, how often the ways out were
tried, sets logged; and to standard error the same after every million. It stops with the way there
at the first thing that does not hold.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from random import Random

from tests.assistant.session.walking import Seen, walk

MILLION = 1_000_000


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--steps", type=int, default=10 * MILLION)
    parser.add_argument("--seed", type=int, default=1)
    wanted = parser.parse_args()
    random, seen = Random(wanted.seed), Seen()
    began = time.perf_counter()

    def told() -> str:
        counts = {name: n for name, n in vars(seen).items() if name != "controls"}
        seconds = round(time.perf_counter() - began, 1)
        more = {"kinds_of_state": len(seen.controls), "seconds": seconds, "seed": wanted.seed}
        return json.dumps(counts | more)

    while seen.steps < wanted.steps:
        millions = seen.steps // MILLION
        walk(random, seen)
        if seen.steps // MILLION > millions:
            print(told(), file=sys.stderr, flush=True)
    print(told())


if __name__ == "__main__":
    main()
