"""The rules of progression as data: what each says, its numbers, and where it comes from.

`COMMON_PRACTICE` marks what coaches do without a published source for it.
"""

from __future__ import annotations

from typing import NamedTuple

COMMON_PRACTICE = "common practice, no published source"

TARGET_RPE = 7
"""Effort (0 to 10) up to which a set counts as mastered."""

AWAY_DAYS = 21
"""Days without a movement after which it starts low again."""

OVER_GOAL = 2
"""Repetitions over the goal in the last set that count for "two for two"."""

STEP_UP = {"hold": 5, "work": 5, "reps": 1, "reps_per_side": 1, "distance": 2}
"""How much more at a time, by kind of dosage: seconds, repetitions, metres."""

LEVELS_AHEAD = 1
"""Levels above the coach's own setting that the log may lead to by itself."""


class Rule(NamedTuple):
    """One rule and where it comes from."""

    says: str
    source: str


RULES: dict[str, Rule] = {
    "first": Rule("begin at the bottom of the range", COMMON_PRACTICE),
    "pain": Rule(
        "step back after pain in the last session of the movement",
        "own choice on the careful side; " + COMMON_PRACTICE,
    ),
    "misses": Rule(
        "after two missed sessions in a row at one target go to the bottom of the range, "
        "from the bottom to the easier movement",
        COMMON_PRACTICE,
    ),
    "away": Rule(
        f"after {AWAY_DAYS} days or more without the movement begin at the bottom of the range",
        COMMON_PRACTICE,
    ),
    "top_twice": Rule(
        "advance after the top of the range in all sets of two sessions in a row, "
        f"with no step-off and effort {TARGET_RPE} or less (double progression)",
        COMMON_PRACTICE,
    ),
    "two_for_two": Rule(
        f"go up after {OVER_GOAL} or more repetitions over the goal in the last set of two "
        "sessions in a row",
        "Baechle and Earle, Essentials of Strength Training and Conditioning, "
        "as several secondary sources quote it",
    ),
    "more": Rule(
        "ask for a little more within the range once every set reached the target",
        COMMON_PRACTICE,
    ),
    "hold_short": Rule("stay while a set falls short of the target", COMMON_PRACTICE),
    "hold_came_off": Rule("stay while there are steps off", COMMON_PRACTICE),
    "hold_hard": Rule(f"stay while the effort is over {TARGET_RPE}", COMMON_PRACTICE),
    "hold_one_side": Rule("stay until both sides are trained", COMMON_PRACTICE),
    "hold_again": Rule("the top of the range has to be reached once more", COMMON_PRACTICE),
}
