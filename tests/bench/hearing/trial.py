"""Sound through the recogniser and the attention of a session, with the session's loop imitated:
partials that must stand for a moment act when their time has come."""

from __future__ import annotations

import time
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from assistant.attention import Attention
from assistant.hearing.listener import blocks_of
from assistant.hearing.port import RATE, Recogniser, Samples
from assistant.session.events import Heard
from intents.meaning import SAFETY_IDS
from intents.scope import Scope
from tests.bench.hearing.material import Room, Said, coach, in_room


@dataclass(frozen=True)
class Outcome:
    """What came of one phrase: events that were not let pass, and the wait of the first.

    `wait` is in seconds from the end of the last sound to the event."""

    said: Said
    heard: tuple[Heard, ...]
    passed: tuple[Heard, ...]
    wait: float | None

    @property
    def right(self) -> bool:
        return len(self.heard) == 1 and self.heard[0].meanings == self.said.wanted

    @property
    def missed(self) -> bool:
        return not self.heard

    @property
    def wrong(self) -> bool:
        """Something else acted."""
        acted = [h for h in self.heard if h.decision == "act"]
        return any(h.meanings != self.said.wanted for h in acted) or len(acted) > 1

    @property
    def halted(self) -> bool:
        """A word for stop, pain or being unwell acted, whichever it was."""
        return any(
            h.decision == "act" and any(meaning.id in SAFETY_IDS for meaning in h.meanings)
            for h in self.heard
        )

    @property
    def kind(self) -> str:
        if self.right:
            return "right"
        return "wrong" if self.wrong else "missed" if self.missed else "asked"


class Session:
    """One recogniser that hears one thing after another, as in a session.

    What it takes to hear a block counts: the next one waits until it is done. The time of the
    thread is taken, so that a busy machine does not count."""

    def __init__(self, recogniser: Recogniser) -> None:
        self._recogniser = recogniser
        self._attention = Attention(coach().understander, lambda at: ())
        self._clock = 0.0

    def hear(self, sound: Samples, scope: Scope) -> list[Heard]:
        """Every event of a sound, those let pass too; `at` counts from its beginning."""
        self._recogniser.listen_for(coach().grammar(scope))
        events: list[Heard] = []
        began = self._clock
        ready = began
        for block, at in blocks_of(sound, began):
            now = max(ready, at + len(block) / RATE)
            if (ripe_at := self._attention.ripe_at) is not None and ripe_at <= now:
                event = self._attention.ripe(scope, ripe_at)
                events += [event] if event else []
            before = time.thread_time()
            for utterance in self._recogniser.accept(block, at):
                event = self._attention.judge(utterance, scope, now + time.thread_time() - before)
                events += [event] if event else []
            ready = now + time.thread_time() - before
            self._clock = at + len(block) / RATE
        return [replace(event, at=event.at - began) for event in events]


def outcomes(recogniser: Recogniser, said: Sequence[Said], room: Room) -> list[Outcome]:
    """Every phrase one after another in one room."""
    session, start, out = Session(recogniser), 0, []
    for one in said:
        sound, ends = in_room(one, room, start)
        start += len(sound)
        events = session.hear(sound, one.scope)
        heard = tuple(event for event in events if event.decision != "pass")
        passed = tuple(event for event in events if event.decision == "pass")
        out.append(Outcome(one, heard, passed, heard[0].at - ends if heard else None))
    return out


def actions(
    recogniser: Recogniser, sounds: Iterable[Samples], scopes: Sequence[Scope]
) -> list[Heard]:
    """What acted, or was asked about, in other speech; the scopes take turns."""
    session, out = Session(recogniser), []
    for turn, sound in enumerate(sounds):
        events = session.hear(sound, scopes[turn % len(scopes)])
        out += [event for event in events if event.decision != "pass"]
    return out
