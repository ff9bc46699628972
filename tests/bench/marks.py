"""How true marks are: python tests/bench/marks.py [--minutes M] [--busy N] prints one JSON line.

In a virtual room, the player plays a count on every second, over speech, for some minutes, while
the room is recorded. For each mark: its error against the audio clock (where it stands in the
recording, against where it was ordered, both counted from the median mark, since a recording has
no clock of its own), in milliseconds; and the error of the time from one mark to the next. Also:
milliseconds from `say` to the first sample, from `hush` to the last, and from the last sample of
a line to the word that it ended. `--busy` runs that many processes beside it that never rest.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from assistant.speaking.earcons import earcon
from tests.room.listening import Heard, listening
from tests.room.program import Program
from tests.room.virtual_room import RATE, VirtualRoom, missing

SEARCH = 0.1
"""Seconds before and after its due time in which a mark is looked for."""


def found_near(heard: Heard, moment: float) -> float:
    """When the count that is due at a moment begins: where the recording is most like it."""
    count = earcon("count")
    assert count.rate == RATE
    begin = heard.index_of(moment - SEARCH)
    window = heard.samples[begin : begin + round(2 * SEARCH * RATE) + len(count.samples)]
    likeness = np.correlate(window, count.samples / 32768, "valid")
    alike = likeness.max() / np.sum((count.samples / 32768) ** 2)
    # Less than half of it is there: it is missing.
    if alike < 0.5:
        return float("nan")
    return heard.time_of(begin + int(np.argmax(likeness)))


def milliseconds(values: np.ndarray, percent: float) -> float:
    return round(float(np.percentile(values, percent)) * 1000, 3)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=float, default=2.0)
    parser.add_argument("--busy", type=int, default=0)
    wanted = parser.parse_args()
    if missing():
        print(json.dumps({"bench": "marks", "skipped": missing()}))
        return
    count = round(wanted.minutes * 60)
    busy = [
        subprocess.Popen([sys.executable, "-c", "while True: sum(range(10**6))"])
        for _ in range(wanted.busy)
    ]
    try:
        with VirtualRoom() as room:
            program = Program(room)
            time.sleep(1.5)
            marks = measure_marks(room, program, count)
            answers = measure_answers(room, program)
            dry = program.order("tell")["dry"]
            program.order("quit")
    finally:
        for process in busy:
            process.kill()
    print(json.dumps({"bench": "marks", "busy": wanted.busy, **marks, **answers, "dry": dry}))


def measure_marks(room: VirtualRoom, program: Program, count: int) -> dict[str, float]:
    with listening(room) as heard:
        at = program.order("marks", count=count, **{"in": 1.0})["at"]
        program.order("say", seconds=count / 2, tag="over")
        time.sleep(count + 1.5)
    due = at + 1.0 + np.arange(count)
    found = np.array([found_near(heard, moment) for moment in due])
    missed = int(np.isnan(found).sum())
    error = (found - due)[~np.isnan(found)]
    spacing = np.diff(found) - 1.0
    return {
        "marks": count,
        "missed": missed,
        "p99_ms": milliseconds(np.abs(error - np.median(error)), 99),
        "worst_ms": milliseconds(np.abs(error - np.median(error)), 100),
        "spacing_p99_ms": milliseconds(np.abs(spacing[~np.isnan(spacing)]), 99),
        "offset_ms": milliseconds(error, 50),
    }


def measure_answers(room: VirtualRoom, program: Program) -> dict[str, float]:
    said, hushed = [], []
    before = len(program.order("tell")["events"])
    with listening(room) as heard:
        for number in range(40):
            said.append(program.order("say", seconds=0.1, tag=f"s{number}")["at"])
            time.sleep(0.25)
    starts = np.array([begin for begin, _ in heard.sounds()]) - said
    ends = np.array([end for _, end in heard.sounds()])
    told = np.array([event[1] for event in program.order("tell")["events"][before:]])
    with listening(room) as heard:
        for number in range(20):
            program.order("say", seconds=2.0, tag=f"h{number}")
            time.sleep(0.3)
            hushed.append(program.order("hush")["at"])
            time.sleep(0.25)
    silences = np.array([end for _, end in heard.sounds(above=0.003)]) - hushed
    return {
        "say_to_sound_ms": milliseconds(starts, 50),
        "say_to_sound_p95_ms": milliseconds(starts, 95),
        "hush_to_silence_ms": milliseconds(silences, 50),
        "hush_to_silence_worst_ms": milliseconds(silences, 100),
        "end_told_after_ms": milliseconds(told - ends, 50),
    }


if __name__ == "__main__":
    main()
