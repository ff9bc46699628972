"""An athlete that speaks in turn: typed lines from a pipe, or recordings, one after another.

A written-down athlete does not cut in. Each item waits until the coach has finished speaking; what
has no meaning at a node that passes by itself (countdown, hold, change of side, rest) waits for the
node where it has one. A wait (`+20`) lets twenty seconds of the session pass first.
"""

from __future__ import annotations

import re
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass

from assistant.session.amounts import unit_of
from assistant.session.events import Event, InputEnded
from assistant.session.nodes import Node
from assistant.session.scopes import scope_of
from assistant.session.state import State
from assistant.simulated import Happening
from intents.meaning import Understanding
from intents.scope import EVERYTHING, Scope

Understand = Callable[[str, Scope], Understanding]
Schedule = Callable[[float, Happening], None]

_WAIT = re.compile(r"^\+\s*(\d+(?:\.\d+)?)\s*s?$")


@dataclass(frozen=True)
class Words:
    """Something said at once; `heard` makes the event of it when it is said."""

    text: str
    heard: Happening


@dataclass(frozen=True)
class Recording:
    """Sound that takes its time: `play(at, schedule)` schedules what is heard in it and returns
    how many seconds it goes on."""

    name: str
    play: Callable[[float, Schedule], float]


@dataclass(frozen=True)
class Wait:
    """Nothing is said for so many seconds of the session."""

    seconds: float


@dataclass(frozen=True)
class Gone:
    """There is nobody any more."""


Item = Words | Recording | Wait | Gone


def wait_of(line: str) -> Wait | None:
    """The wait that a line asks for, if it is one.

    >>> wait_of("+20")
    Wait(seconds=20.0)
    >>> wait_of("log 20") is None
    True
    """
    match = _WAIT.match(line.strip())
    return Wait(float(match[1])) if match else None


class Script:
    """Hands out items, each when it is its turn."""

    def __init__(self, understand: Understand) -> None:
        self._items: deque[Item] = deque()
        self._understand = understand
        self._not_before = 0.0

    def add(self, item: Item) -> None:
        self._items.append(item)

    @property
    def empty(self) -> bool:
        return not self._items

    def take_turn(self, state: State, at: float, schedule: Schedule) -> bool:
        """Take the next item if it is its turn; what follows from it is scheduled."""
        if not self._items or at < self._not_before or not self._may_go(self._items[0], state):
            return False
        item = self._items.popleft()
        if isinstance(item, Wait):
            self._not_before = at + item.seconds
        elif isinstance(item, Gone):
            schedule(at, _gone)
        elif isinstance(item, Recording):
            self._not_before = at + item.play(at, schedule)
        else:
            schedule(at, item.heard)
        return True

    def waits_until(self, at: float) -> float | None:
        """When the present wait or recording is over, if there is one."""
        return self._not_before if self._not_before > at else None

    def _may_go(self, item: Item, state: State) -> bool:
        if isinstance(item, Gone):
            return True
        if state.speaking:
            return False
        if isinstance(item, Words):
            return not passes_by_itself(state) or self._has_meaning(item.text, state)
        return isinstance(item, Wait) or state.node not in (Node.COUNTDOWN, Node.SWITCH)

    def _has_meaning(self, text: str, state: State) -> bool:
        here = self._understand(text, scope_of(state))
        if here.decision == "pass":
            # Words without any meaning are answered at once; others wait for their place.
            return self._understand(text, EVERYTHING).decision == "pass" and not _bare(text)
        efforts = all(m.id == "effort" for m in here.meanings)
        return not (efforts and state.node is Node.WORK)


def _bare(text: str) -> bool:
    """A short answer ("seven") may have a meaning at the next question."""
    return len(text.split()) <= 3


def passes_by_itself(state: State) -> bool:
    """Whether the node goes on without a word from the athlete."""
    timed = unit_of(state.current.target) == "seconds"
    return state.node in (Node.COUNTDOWN, Node.SWITCH, Node.REST) or (
        state.node is Node.WORK and timed
    )


def _gone(at: float) -> Event:
    return InputEnded(at)
