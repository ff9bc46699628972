"""What a substitute costs: python tests/bench/substitution.py prints one JSON line.

Milliseconds of processor time to find the nearest movement that can be done, over main movements
of catalogues of 100, 1,000 and 10,000, with no equipment, a sore wrist and two metres of floor; and
to build the index.
"""

from __future__ import annotations

import argparse
import json
import statistics
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from synthetic import catalogue_of

from catalogue.conditions import Conditions
from catalogue.model import BodyPart, Level, Phase
from catalogue.substituter import Substituter

SIZES = (100, 1_000, 10_000)
BARE = Conditions(hurting=frozenset({BodyPart.WRIST}), space=2.0, ceiling=Level.INTERMEDIATE)


def measure(size: int, most: int) -> dict[str, float]:
    catalogue = catalogue_of(size)
    began = time.process_time()
    index = Substituter(catalogue)
    built = (time.process_time() - began) * 1e3
    main = [m.id for m in catalogue.movements.values() if m.phase is Phase.MAIN]
    wanted = main[:: max(1, len(main) // most)]
    taken = []
    found = 0
    for movement in wanted:
        began = time.process_time()
        answer = index.nearest(movement, BARE, frozenset({movement}))
        taken.append((time.process_time() - began) * 1e3)
        found += answer is not None
    taken.sort()
    return {
        "asked": len(wanted),
        "found": found,
        "median_ms": round(statistics.median(taken), 3),
        "p99_ms": round(taken[len(taken) * 99 // 100], 3),
        "most_ms": round(taken[-1], 3),
        "index_ms": round(built, 2),
    }


def main() -> None:
    parser = argparse.ArgumentParser(description="What a substitute costs; prints one JSON line.")
    parser.add_argument("--most", type=int, default=750, help="questions asked of each catalogue")
    most = parser.parse_args().most
    sizes = {str(size): measure(size, most) for size in SIZES}
    print(json.dumps({"bench": "substitution", "sizes": sizes}))


if __name__ == "__main__":
    main()
