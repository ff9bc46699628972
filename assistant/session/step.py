"""One step under construction: what handlers write to before it becomes a Decision.

A handler reads `step.state`, changes it with `step.set(...)`, and orders effects through the
methods here. A step is used once, inside `decide`, and never leaves it.
"""

from __future__ import annotations

from typing import Any
from zlib import crc32

from assistant.session.amounts import sides_of
from assistant.session.effects import (
    Beep,
    DropMarks,
    Effect,
    Hush,
    Mark,
    Record,
    Say,
    SetVoice,
    Show,
    StartTimer,
)
from assistant.session.facts import Fact, Side
from assistant.session.nodes import Node
from assistant.session.state import Setting, State
from catalogue.detail import Telling, telling
from catalogue.familiarity import knows
from catalogue.model import Movement
from intents.lines import Line, LineValue


class Step:
    """A state being changed at one moment, and the effects that go with it."""

    def __init__(self, setting: Setting, state: State, at: float) -> None:
        self.setting = setting
        self.state = state
        self.at = at
        self.effects: list[Effect] = []
        self._said: list[Line] = []

    # what there is

    @property
    def movement(self) -> Movement:
        return self.setting.catalogue.movements[self.state.current.movement]

    @property
    def sides(self) -> tuple[Side, ...]:
        """The sides of the present set, in order."""
        return sides_of(self.movement, self.state.current, self.state.number)

    def name(self, movement_id: str) -> str:
        return self.setting.catalogue.movements[movement_id].name

    # changes

    def set(self, **changes: Any) -> None:
        self.state = self.state.changed(**changes)

    def go(self, node: Node) -> None:
        """Enter a node: its timers start anew and its counters for silence and misses too."""
        self.set(node=node, silences=0, misses=0)
        self.cancel("answer")

    def cancel(self, *purposes: str) -> None:
        kept = {p: i for p, i in self.state.timers.items() if p not in purposes}
        self.set(timers=kept)

    def cancel_all(self) -> None:
        self.set(timers={})

    # effects

    def timer(self, purpose: str, due: float) -> None:
        """Start (or start anew) the timer of a purpose; an older one of it is stale from now."""
        number = self.state.counter + 1
        timer = f"{purpose}#{number}"
        self.set(counter=number, timers={**self.state.timers, purpose: timer})
        self.effects.append(StartTimer(timer, due))

    def say(
        self,
        line_id: str,
        *,
        interruptible: bool = True,
        ends_at: float | None = None,
        **values: LineValue,
    ) -> str:
        """Speak a line after what is queued; returns its tag."""
        return self.say_line(Line(line_id, values), interruptible, ends_at)

    def say_line(self, line: Line, interruptible: bool = True, ends_at: float | None = None) -> str:
        if line.turn is None and line.id != "text":
            line = Line(line.id, line.values, self._turn(line.id))
        number = self.state.counter + 1
        tag = f"say#{number}"
        self.set(counter=number, speaking=(*self.state.speaking, tag))
        self.effects.append(Say(tag, line, interruptible, ends_at))
        self._said.append(line)
        return tag

    def _turn(self, line_id: str) -> int:
        """Which way to say a line now: the next one each time, beginning elsewhere each session."""
        times = self.state.said.get(line_id, 0)
        self.set(said={**self.state.said, line_id: times + 1})
        return crc32(line_id.encode()) + self.setting.seed + times

    def set_voice(self, **changes: Any) -> None:
        """Speak louder, faster or with another voice from here on."""
        self.set(**changes)
        self.effects.append(SetVoice(self.state.volume, self.state.rate, self.state.voice))

    @property
    def told(self) -> Telling:
        """How much is told of the present movement."""
        known = knows(self.setting.history, self.movement.id, self.setting.day)
        return telling(self.state.detail, known=known)

    def hush(self) -> None:
        """Fall silent, if anything is being said; its ends are no longer waited for."""
        if self.state.speaking:
            self.effects.append(Hush())
            self.set(speaking=())

    def beep(self, mark: Mark, due: float | None = None) -> None:
        self.effects.append(Beep(mark, self.at if due is None else due))

    def drop_marks(self) -> None:
        self.effects.append(DropMarks())

    def record(self, fact: Fact) -> None:
        self.effects.append(Record(fact))

    def show(self, headline: str, until: float | None = None) -> None:
        self.effects.append(Show(headline, until))

    def remember_said(self) -> None:
        """Keep what this step said, for "say again"."""
        if self._said:
            self.set(last_said=tuple(self._said))
