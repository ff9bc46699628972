"""A program for tests: plays in the room it is started in, by lines of JSON on standard input.

    {"do": "say", "seconds": 1.0, "tag": "a", "in": 2.0}    a tone; with "in", to end that late
    {"do": "mark", "tag": "m", "in": 1.0}                    a count, that much later
    {"do": "hush"}  {"do": "volume", "to": 0.5}  {"do": "tell"}  {"do": "quit"}

Each is answered by a line {"at": …, …}: the time of the order on the steady clock of the machine,
which the test shares. What happens by itself is told by `tell`.
"""

import json
import sys
import time
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from assistant.speaking.earcons import earcon
from assistant.speaking.player import Player
from assistant.speaking.port import Sound
from assistant.speaking.tap import RATE as TAP_RATE

RATE = 22_050
"""That of the voice, so that resampling is part of what is measured."""


def tone(seconds: float) -> Sound:
    wave = np.sin(2 * np.pi * 440 * np.arange(round(seconds * RATE)) / RATE)
    return Sound((wave * 12_000).astype(np.int16), RATE)


def onset(samples: NDArray[np.int16], at: float) -> list[float]:
    """When these samples first are loud, if they are."""
    loud = np.flatnonzero(np.abs(samples) > 1500)
    return [at + int(loud[0]) / TAP_RATE] if len(loud) else []


def main() -> None:
    clock = time.monotonic
    events: list[list[object]] = []
    played: list[float] = []
    player = Player(
        clock,
        on_lost=lambda: events.append(["lost", clock()]),
        on_found=lambda: events.append(["found", clock()]),
        on_played=lambda samples, at: played.extend(onset(samples, at)),
    )
    player.on_finished(lambda tag, whole: events.append([tag, clock(), whole]))
    print(json.dumps({"at": clock(), "ready": True}), flush=True)
    for line in sys.stdin:
        order = json.loads(line)
        at = clock()
        answer: dict[str, object] = {"at": at}
        if order["do"] == "say":
            ends_at = at + order["in"] if "in" in order else None
            player.say(tone(order["seconds"]), order["tag"], ends_at)
        elif order["do"] == "mark":
            player.mark(earcon("count"), at + order["in"], order["tag"])
        elif order["do"] == "marks":
            for number in range(order["count"]):
                player.mark(earcon("count"), at + order["in"] + number, f"{number}")
        elif order["do"] == "hush":
            player.hush()
        elif order["do"] == "volume":
            player.set_volume(order["to"])
        elif order["do"] == "tell":
            answer |= {
                "events": events,
                "dry": player.dry,
                "lost": player.lost,
                "latency": player.latency,
                "played": played[:1],
                "spans": [[s.tag, s.began, s.ended] for s in player.now_saying(at, 1e9)],
            }
        print(json.dumps(answer), flush=True)
        if order["do"] == "quit":
            break
    player.close()


if __name__ == "__main__":
    main()
