"""Make the README's picture anew: `python tests/assistant/demonstration/picture.py`.

The real program is driven in a terminal: an invented athlete types what others would say. Look at
the picture before you keep it.
"""

from __future__ import annotations

import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
from drawing import COLOURS, Cell, Frame, animated
from driven import ROOT, Driven

FILE = ROOT / "assistant" / "demonstration" / "session.svg"
PROFILE = "assistant/demonstration/profile.toml"
SPEED = 4
TITLE = "A session with cuewalk, as its screen shows it"
TOLD = (
    "A terminal with one large thing, first a question mark, then the seconds of a hold that is "
    "broken off and taken up again, then a rest; below it what coach and athlete say."
)


@dataclass(frozen=True)
class Moment:
    """What is typed and what is waited for (if anything), the wall seconds from then until the
    screen is kept, and the seconds for which the picture shows it."""

    said: str = ""
    until: str = ""
    after: float = 0.5
    shown: float = 1.0


TO_THE_FIRST_HOLD = ("yes", "skip", "skip", "skip", "skip")
MOMENTS = (
    Moment("yes", after=1.0, shown=3.5),  # a place that is tested: then start
    Moment("start", after=1.0, shown=3.5),  # the caution of a hazard comes first
    Moment(until="Into position", after=0.3),
    *(Moment() for _ in range(2)),
    Moment(after=0.6, shown=1.5),
    *(Moment() for _ in range(3)),
    Moment("i came off", shown=3.5),
    Moment("start", after=1.8, shown=1.5),
    *(Moment() for _ in range(3)),
    Moment("done", after=0.8, shown=3.5),
    Moment("log nineteen seconds", after=0.6, shown=3.5),
    Moment("i don't have a wall", after=0.8, shown=4.0),
    Moment("no", after=0.8, shown=3.0),
    Moment("no", after=0.8, shown=5.0),
)
STILL = 7
"""A moment in the hold."""


def main() -> int:
    with tempfile.TemporaryDirectory() as home:
        words = ["train", "--typed", "--at", str(SPEED), "--profile", PROFILE]
        with Driven(Path(home), words) as program:
            frames = filmed(program)
    FILE.write_text(animated(frames, STILL, TITLE, TOLD), encoding="utf-8")
    print(f"{FILE}: {len(frames)} frames, {FILE.stat().st_size // 1024} KB")
    return 0


def filmed(program: Driven) -> list[Frame]:
    program.wait_for("Will you keep to that")
    # The cautions have to be heard to their end; then the question comes.
    program.look(40 / SPEED)
    for answer, then in (("yes", "hurt"), ("no pain", "nergy"), ("yes", "Today needs")):
        program.type(answer)
        program.wait_for(then)
        program.look(1.0)
    program.type("yes")
    program.wait_for("dry and clear")
    frames = [frame(program, 3.0)]
    for answer in TO_THE_FIRST_HOLD:
        program.type(answer)
        program.settle(1.0)
    for moment in MOMENTS:
        if moment.said:
            program.type(moment.said)
        if moment.until:
            program.wait_for(moment.until)
        program.look(moment.after)
        frames.append(frame(program, moment.shown))
    return frames


def frame(program: Driven, seconds: float) -> Frame:
    """The screen as it is now."""
    rows = [
        [Cell(char.data, char.fg if char.fg in COLOURS else "default", char.bold) for char in row]
        for row in program.cells()
    ]
    return Frame(rows, seconds)


if __name__ == "__main__":
    sys.exit(main())
