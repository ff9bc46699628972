"""How long things take, in seconds: one set of figures for planning and for "time left".

All figures are judgement or common practice, no published source, unless a line says otherwise;
that they add up to a session is checked by rehearsing whole ones.
"""

from __future__ import annotations

from dataclasses import dataclass

from catalogue.detail import cues_before, ranked_cues, telling
from catalogue.familiarity import known_movements
from catalogue.history import History
from catalogue.model import Detail, Movement, Phase, Profile, Sides
from catalogue.plan import Block, Target
from catalogue.safeguards import gravest
from catalogue.speech import USUAL_RATE, seconds_to_say

SECONDS_PER_REP = 4
SECONDS_PER_METRE = 4
START = 7
""" "Start", and the countdown."""
CHANGE_SIDES = 10
BREATH = 0.12
"""Between two sentences."""

# Words that are the same for every movement, in seconds at the usual rate.
FRAME = 7.0
"""Which movement it is, how much of it, and to say "start"."""
SAFEGUARD = 8.0
"""Whether what hanging, raised or upside-down work needs is there, and the answer."""
NEXT_SET = 3.0
"""Which set it is, and to say "start"."""
CHECK_IN = 27
"""Greeting, the questions before the work with their answers, and the clear floor."""
ALL_CAUTIONS, SHORT_CAUTION = 22, 3
"""The session's own cautions, as they are said the first time and later."""
CLOSING = 20
"""Effort of the session, what was done, what comes next time."""


@dataclass(frozen=True)
class Talk:
    """What the length of the coach's talk depends on.

    `known` are the ids of movements that need no set-up any more, `heard` those whose cautions
    were heard in full; `first_time` where the session's own cautions were not.
    """

    detail: Detail = "usual"
    rate: int = USUAL_RATE
    known: frozenset[str] = frozenset()
    heard: frozenset[str] = frozenset()
    first_time: bool = True

    @classmethod
    def to(
        cls,
        profile: Profile,
        history: History,
        day: int,
        heard: frozenset[str] = frozenset(),
        first_time: bool = True,
    ) -> Talk:
        """To one athlete on a day (a date's ordinal), with what they have done so far."""
        known = known_movements(history, day)
        return cls(profile.detail, profile.rate, known, heard, first_time)

    def opening(self) -> int:
        """Seconds before the first movement."""
        cautions = ALL_CAUTIONS if self.first_time else SHORT_CAUTION
        return round((CHECK_IN + cautions) * self._share)

    def closing(self) -> int:
        """Seconds after the last movement."""
        return round(CLOSING * self._share)

    def before(self, movement: Movement, phase: Phase) -> int:
        """Seconds of talk before a movement's first set."""
        told = telling(self.detail, known=movement.id in self.known)
        cues = ranked_cues(movement)[: cues_before(phase, told)]
        said = [movement.name, *(cue.text for cue in cues)]
        if told.set_up:
            said += movement.set_up
        if movement.id not in self.heard:
            said += movement.safety
        elif movement.hazards:
            said += movement.safety[:1]
        texts = sum(seconds_to_say(text, self.rate) + BREATH for text in said)
        frame = FRAME + (SAFEGUARD if gravest(movement.hazards) else 0.0)
        return round(frame * self._share + texts)

    def next_set(self) -> int:
        """Seconds of talk before each further set."""
        return round(NEXT_SET * self._share)

    @property
    def _share(self) -> float:
        return USUAL_RATE / self.rate


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


def estimate_seconds(block: Block, movement: Movement, talk: Talk) -> int:
    """A block from the first word of its set-up to the end of its last rest."""
    extra = block.extra_side is not None
    return block_seconds(block.phase, block.target, movement, talk, extra=extra)


def block_seconds(
    phase: Phase, target: Target, movement: Movement, talk: Talk, *, extra: bool = False
) -> int:
    """The same from its parts: talk, then sets, each with its rest; `extra` is one more side.

    What is said in a rest (what was done, what comes, the effort) takes none of its own.
    """
    each = START + set_seconds(target, movement) + target.rest
    again = talk.next_set()
    more = again + START + side_seconds(target) + target.rest if extra else 0
    sets = target.sets * each + (target.sets - 1) * again
    return talk.before(movement, phase) + sets + more
