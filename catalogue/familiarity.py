"""How well the athlete knows a movement: the less new it is, the less is said of it.

>>> from catalogue.history import History, SetDone
>>> past = History(tuple(SetDone(day, day, "line_walk") for day in (1, 3, 5)))
>>> knows(past, "line_walk", today=8), knows(past, "line_walk", today=200)
(True, False)
>>> knows(past, "stork_stand", today=8)
False
"""

from __future__ import annotations

from catalogue.history import History, SetDone

KNOWN_AFTER = 3
"""Sessions with a movement after which its set-up need not be told again (judgement). "Explain"
tells it at any time."""

FORGOTTEN_AFTER = 60
"""Days without a movement after which it is told in full again (judgement)."""


def knows(history: History, movement: str, today: int) -> bool:
    """Whether a movement needs no more than its name; `today` is the date's ordinal."""
    return _known([s for s in history.sets if s.movement == movement], today)


def known_movements(history: History, today: int) -> frozenset[str]:
    """The ids of all movements that are known, found in one pass."""
    done: dict[str, list[SetDone]] = {}
    for one in history.sets:
        done.setdefault(one.movement, []).append(one)
    return frozenset(movement for movement, sets in done.items() if _known(sets, today))


def _known(done: list[SetDone], today: int) -> bool:
    """Of one movement's sets, oldest first."""
    if not done or today - done[-1].day > FORGOTTEN_AFTER:
        return False
    return len({(s.day, s.session) for s in done}) >= KNOWN_AFTER
