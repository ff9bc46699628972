"""How much is said of a movement: three levels of detail, and less of one that is known.

What keeps safe is no matter of detail: cautions are said whatever the level.

>>> telling("usual", known=False).set_up, telling("usual", known=True).set_up
(True, False)
>>> telling("full", known=True).set_up
True
>>> lowered("full"), raised("full")
('usual', None)
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import get_args

from catalogue.model import Cue, Detail, Movement, Phase

LEVELS: tuple[Detail, ...] = get_args(Detail)
"""From the fewest words to the most."""


@dataclass(frozen=True)
class Telling:
    """What is told of one movement at one level.

    `set_up`: how to get into it is told before the first set. `cues` are said before the first
    set; `cue_every` brings one into every so many-th hold, counted from the first (0: into none).
    `half` tells when half of a hold is done.
    """

    set_up: bool
    cues: int
    cue_every: int
    half: bool

    def cue_in(self, number: int) -> bool:
        """Whether a cue belongs into the hold of a movement's set (counted from 1)."""
        return self.cue_every > 0 and (number - 1) % self.cue_every == 0


# Feedback on every try keeps the learner from learning to do without: at the usual level every
# second set has a cue, of a movement that is known every third (less is better kept: Wulf and
# Schmidt 1994, J Mot Behav 26:348-361, abstract; which numbers is judgement).
_TELLINGS: Mapping[tuple[Detail, bool], Telling] = {
    ("brief", False): Telling(set_up=True, cues=1, cue_every=0, half=False),
    ("brief", True): Telling(set_up=False, cues=0, cue_every=0, half=False),
    ("usual", False): Telling(set_up=True, cues=2, cue_every=2, half=True),
    ("usual", True): Telling(set_up=False, cues=1, cue_every=3, half=True),
    ("full", False): Telling(set_up=True, cues=2, cue_every=1, half=True),
    ("full", True): Telling(set_up=True, cues=2, cue_every=1, half=True),
}


def telling(detail: Detail, *, known: bool) -> Telling:
    return _TELLINGS[detail, known]


def lowered(detail: Detail) -> Detail | None:
    """The next level with fewer words; None at the lowest."""
    return LEVELS[LEVELS.index(detail) - 1] if detail != LEVELS[0] else None


def raised(detail: Detail) -> Detail | None:
    """The next level with more words; None at the highest."""
    return LEVELS[LEVELS.index(detail) + 1] if detail != LEVELS[-1] else None


def ranked_cues(movement: Movement) -> tuple[Cue, ...]:
    """A movement's cues, those about an effect outside the body first.

    Attention on the effect rather than on the body makes for better performance and learning
    across tasks, balance among them (Wulf 2013, Int Rev Sport Exerc Psychol 6:77-104, abstract).
    """
    return tuple(sorted(movement.cues, key=lambda cue: cue.focus == "body"))


def cues_before(phase: Phase, told: Telling) -> int:
    """How many cues are said before the first set: outside the main part, one is enough."""
    return told.cues if phase is Phase.MAIN else min(told.cues, 1)
