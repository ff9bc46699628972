"""What was better than before in a movement, by what was measured; nothing where nothing was.

>>> from catalogue.history import History, SetDone
>>> def sets(day, *seconds, off=0):
...     return [SetDone(day, day, "stand", target=30, amount=s, came_off=off) for s in seconds]
>>> before = History(tuple(sets(1, 20, 22)))
>>> praise(before, sets(3, 28, 30), "standing", planned=2).id
'praise_best'
>>> print(praise(before, sets(3, 20, 22), "standing", planned=2))
None
"""

from __future__ import annotations

from collections.abc import Sequence
from statistics import fmean

from catalogue.history import History, SetDone, Unit, by_session
from catalogue.reason import Reason

CLEARLY: dict[Unit, float] = {"seconds": 2.0, "reps": 1.0, "metres": 1.0}
"""By how much more is more: a clock stopped by voice is good to a second or so (judgement)."""


def praise(before: History, today: Sequence[SetDone], name: str, *, planned: int) -> Reason | None:
    """The best that can be said of today's sets of one movement, called `name`.

    `planned` is how many sets there were to be, each side counted. In this order: the most so far;
    more than last time; fewer steps off; every set at its target where that is new. Never of what
    hurt, and never of more that was bought with more steps off.
    """
    if not today or any(done.pain for done in today):
        return None
    unit = today[0].unit
    same = [s for s in before.sets if s.movement == today[0].movement and s.unit == unit]
    last = by_session(same)[-1] if same else ()
    off, off_last = _off(today), _off(last)
    if last and off > off_last:
        return None
    if last:
        if _most(today) - _most(same) >= CLEARLY[unit]:
            return _amount("praise_best", name, unit, _most(today))
        more = _mean(today) - _mean(last)
        if more >= CLEARLY[unit] and len(today) >= len(last):
            return _amount("praise_more", name, unit, more)
        if off < off_last and more > -CLEARLY[unit]:
            steadier = {"movement": name, "steps": off, "before": off_last}
            return Reason(id="praise_steadier", values=steadier)
    target = today[0].target
    if len(today) >= planned and _all_at(today, target) and not _all_at(last, target):
        return _amount("praise_all", name, unit, target)
    return None


def _amount(reason: str, name: str, unit: Unit, amount: float) -> Reason:
    whole = round(amount)
    word = unit if whole != 1 else f"{unit}_one"
    return Reason(id=reason, values={"movement": name, "amount": whole, "unit": word})


def _all_at(sets: Sequence[SetDone], target: int) -> bool:
    return bool(sets) and all(done.amount >= target for done in sets)


def _off(sets: Sequence[SetDone]) -> int:
    return sum(done.came_off for done in sets)


def _mean(sets: Sequence[SetDone]) -> float:
    return fmean(done.amount for done in sets)


def _most(sets: Sequence[SetDone]) -> float:
    return max(done.amount for done in sets)
