"""How long things take, in seconds: one set of figures for planning and for "time left".

All figures are judgement or common practice, no published source, unless a line says otherwise.
"""

from __future__ import annotations

from catalogue.model import Movement, Phase, Sides
from catalogue.plan import Block, Target

WORDS_A_MINUTE = 165
"""The usual rate of speech, the profile's default."""

SECONDS_PER_REP = 4
SECONDS_PER_METRE = 4
GET_READY = 8
"""Asking whether the athlete is ready, and the countdown."""
CHANGE_SIDES = 10
ASK_EFFORT = 8
OPENING = 45
"""Check-in, cautions and the check of the area, before the first block."""
CLOSING = 25
"""Effort of the session, what was done, what comes next time."""

FRAME_WORDS = 13
"""Words round a movement's own: which it is, how much of it, and to say "start"."""


def side_seconds(target: Target) -> int:
    """The work of one set on one side (or without sides)."""
    if target.seconds is not None:
        return target.seconds
    if target.reps is not None:
        return target.reps * SECONDS_PER_REP
    if target.per_side is not None:
        return target.per_side * SECONDS_PER_REP
    return (target.metres or 0) * SECONDS_PER_METRE


def set_seconds(target: Target, movement: Movement) -> int:
    """The work of one set, both sides where each side does all of it, with the change."""
    work = side_seconds(target)
    return 2 * work + CHANGE_SIDES if movement.sides is Sides.EACH else work


def talk_seconds(movement: Movement) -> int:
    """Name, set-up, first cue, the frame and, where there are hazards, the safety notes."""
    said = [movement.name, *movement.set_up, movement.cues[0].text]
    if movement.hazards:
        said += movement.safety
    words = FRAME_WORDS + sum(len(sentence.split()) for sentence in said)
    return round(words * 60 / WORDS_A_MINUTE)


def estimate_seconds(block: Block, movement: Movement) -> int:
    """A block from the first word of its set-up to the end of its last rest."""
    return block_seconds(block.phase, block.target, movement, extra=block.extra_side is not None)


def block_seconds(phase: Phase, target: Target, movement: Movement, *, extra: bool = False) -> int:
    """The same from its parts: talk, then sets, each with its rest; `extra` is one more side."""
    each = GET_READY + set_seconds(target, movement) + target.rest
    asked = ASK_EFFORT if phase is Phase.MAIN else 0
    more = GET_READY + side_seconds(target) + target.rest if extra else 0
    return talk_seconds(movement) + target.sets * each + more + asked
