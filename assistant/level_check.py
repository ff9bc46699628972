"""Is the athlete heard? One word before a session, judged by its level and by what was understood.

The levels are those of `hearing/levels.py`; what is advised is one line of the coach.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from assistant.coach import Coach
from assistant.hearing.bandwidth import is_narrow
from assistant.hearing.levels import Levels, advice, measure
from assistant.hearing.listener import TimedBlock
from assistant.hearing.port import Recogniser, Utterance
from assistant.session.nodes import Node
from assistant.session.scopes import scope_at
from intents.lines import Line

SECONDS = 5.0
"""Seconds in which the word is waited for."""

SCOPE = scope_at(Node.READY)
"""Where the word means something."""

ASKED = Line("level.say", {"word": "word_of_ready"})
"""What the coach says first."""


LEVEL_IS_FINE = ("level.fine", "level.unclear", "level.other")
"""What is said where there is speech, and as loud as it should be."""


@dataclass(frozen=True)
class Checked:
    """What came of it: the line to say, whether all is well, and what was measured."""

    line: Line
    fine: bool
    levels: Levels


def get_ready(recogniser: Recogniser, coach: Coach) -> None:
    """What takes a moment, done while the coach still speaks."""
    recogniser.listen_for(coach.grammar(SCOPE))


def hear_word(blocks: Iterable[TimedBlock], recogniser: Recogniser, coach: Coach) -> Checked:
    """Listen until something was said, for `SECONDS` at most, and judge it."""
    get_ready(recogniser, coach)
    samples = []
    said: list[Utterance] = []
    began: float | None = None
    at = 0.0
    for block, at in blocks:
        began = at if began is None else began
        samples.append(block)
        said += [u for u in recogniser.accept(block, at) if u.final and u.text]
        if said or at - began >= SECONDS:
            break
    said += [u for u in recogniser.flush(at) if u.final and u.text]
    sound = np.concatenate(samples) if samples else np.zeros(0, np.int16)
    levels = measure(sound)
    line = _judged(levels, said, coach)
    if line.id in LEVEL_IS_FINE and is_narrow(sound):
        line = Line("level.narrow")
    return Checked(line, line.id == "level.fine", levels)


def since(blocks: Iterable[TimedBlock], begin: float) -> Iterable[TimedBlock]:
    """The blocks from a time on: what waited in the queue before it is not the athlete's word."""
    return ((block, at) for block, at in blocks if at >= begin)


def _judged(levels: Levels, said: list[Utterance], coach: Coach) -> Line:
    first = advice(levels)[0]
    if first != "level.fine":
        return Line(first)
    texts = [u.text for u in said if not u.rejected]
    understood = [u for text in texts if (u := coach.understand(text, SCOPE)).decision != "pass"]
    if any(meaning.id == "start" for u in understood for meaning in u.meanings):
        return Line("level.fine")
    if understood:
        return Line("level.other", {"text": understood[0].text})
    return Line("level.unclear")
