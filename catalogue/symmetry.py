"""Left against right: the usual index, and one more set for the weaker side.

The index is the weaker side over the stronger, times 100. Clinics ask for 90 or more after an
injury (J Athl Train 57(9-10):946); which figure is right is unclear (Madsen et al. 2020, J Athl
Train 55:699), and healthy people differ a little as well. Using 90 to hand out practice is our
own use of it: it says where to work more, not that anything is wrong.

>>> index(27, 30)
90
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from statistics import fmean
from typing import Literal

from catalogue.history import History, SetDone, by_session
from catalogue.model import Movement
from catalogue.reason import Reason

EVEN_FROM = 90
"""An index from here on counts as even."""

LAST_SESSIONS = 3
"""Sessions of the movement that are looked at; with fewer than two there is no verdict."""

MORE_STEPS_OFF = 2
"""So many more steps off on one side, and twice as many at least, mark it too (judgement)."""

WeakerSide = Literal["left", "right"]


@dataclass(frozen=True)
class Symmetry:
    """Mean amounts of a set on each side, steps off, the index, and the side that wants more."""

    left: float
    right: float
    came_off_left: int
    came_off_right: int
    index: int
    weaker: WeakerSide | None


def index(left: float, right: float) -> int:
    """The weaker side over the stronger, in per cent, from 0 to 100; two zeros are even."""
    stronger = max(left, right)
    return 100 if stronger <= 0 else round(min(left, right) / stronger * 100)


def symmetry(movement_id: str, history: History) -> Symmetry | None:
    """Left against right in the last three sessions of a movement with sides.

    None where there are fewer than two sessions with both sides: a single day says little.
    """
    sided = (done for done in history.sets if done.movement == movement_id and done.side != "none")
    whole = [session for session in by_session(sided) if len({done.side for done in session}) == 2]
    if len(whole) < 2:
        return None
    sets = [done for session in whole[-LAST_SESSIONS:] for done in session]
    left, right = _side(sets, "left"), _side(sets, "right")
    means = fmean(done.amount for done in left), fmean(done.amount for done in right)
    off = sum(done.came_off for done in left), sum(done.came_off for done in right)
    score = index(*means)
    weaker: WeakerSide | None = None
    if score < EVEN_FROM:
        weaker = "left" if means[0] < means[1] else "right"
    elif abs(off[0] - off[1]) >= MORE_STEPS_OFF and max(off) >= 2 * min(off):
        weaker = "left" if off[0] > off[1] else "right"
    return Symmetry(*means, *off, score, weaker)


def more_for(movement: Movement, history: History) -> tuple[WeakerSide, Reason] | None:
    """The side that one more set is offered to, and why; the other side keeps all of its sets."""
    found = symmetry(movement.id, history)
    if found is None or found.weaker is None:
        return None
    values: dict[str, str | int] = {"movement": movement.name, "side": found.weaker}
    if found.index < EVEN_FROM:
        reason = Reason(id="side_weaker", values=values | {"percent": found.index})
    else:
        steps = found.came_off_left if found.weaker == "left" else found.came_off_right
        reason = Reason(id="side_steps_off", values=values | {"steps": steps})
    return found.weaker, reason


def _side(sets: Iterable[SetDone], side: str) -> list[SetDone]:
    return [done for done in sets if done.side == side]
