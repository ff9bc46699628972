"""May this act? What stands between a recognised utterance and the session.

In order: what the recogniser itself rejects is not for us; a partial hypothesis acts only where it
is a whole instant command that has stood unchanged for a moment (on its way to "start" a decoder
passes through "stop"); words that the coach was saying when its voice began are an echo; what was
said over the coach, of whom something may be left in it, or what he began upon, which may be cut
short, must be surer than what was said into silence, and waits for its end; a command heard twice
within a second was said once, and what is heard unsurely within a second of "stop" was another
"stop". "Stop" itself passes all of these but the first: the coach never says it, and a stop too
many costs less than one too few.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from assistant.hearing.port import PREROLL, Utterance
from assistant.session.events import Heard
from intents.meaning import Meaning, Understanding
from intents.scope import Scope
from intents.understand import ACT, Understander

REPEAT_GUARD = 1.0
"""Seconds within which the same meanings count once, and after "stop" nothing counts that is
unsure."""

STEADY = 0.15
"""Seconds that an instant partial must stand unchanged before it acts (judgement, between the 90
and 210 ms at which early decisions were measured)."""

STOP_OVER_COACH = 0.85
"""Confidence in "stop" and its like, said over the coach, from which on it counts; for others each
engine has its limit. The coach has fallen silent by then: said once more it is heard better. Of
commands exactly as loud as he is most are surer than the limits; of his own voice, distorted and
far away, hardly anything is (tests/bench/cut_in.py)."""

ECHO_TAIL = 0.15
"""Seconds after the coach's speech in which its own words may still arrive: the room's echo, and
0.06 by which it is uncertain when he is heard. Of all utterances that he alone has caused, none had
its voice begin later than 0.16 s before his end (tests/bench/cut_in.py, a voice in three rooms)."""


@dataclass
class Attention:
    """Judges utterances one by one; keeps what it acted on last.

    `saying(at)` gives the texts that the loudspeaker was saying at a session time, those that ended
    less than `ECHO_TAIL` before it included.
    """

    understander: Understander
    saying: Callable[[float], Sequence[str]]

    def __post_init__(self) -> None:
        self._last: tuple[tuple[Meaning, ...], float] | None = None
        self._acted_on: float | None = None
        self._waiting: tuple[Utterance, float] | None = None

    @property
    def ripe_at(self) -> float | None:
        """When a partial that waits may act; call `ripe` then."""
        return self._waiting[1] if self._waiting is not None else None

    def ripe(self, scope: Scope, at: float) -> Heard | None:
        """The event of a partial that has stood long enough, if there is one."""
        if self._waiting is None or at < self._waiting[1]:
            return None
        utterance, self._waiting = self._waiting[0], None
        return self._take(utterance, scope, at)

    def judge(self, utterance: Utterance, scope: Scope, at: float) -> Heard | None:
        """The event of an utterance, or None where nothing is to be made of it."""
        if self._acted_on == utterance.began:
            # A partial of this utterance has acted; the rest of it has been heard already.
            return None
        self._waiting = None
        if utterance.final:
            return self._take(utterance, scope, at)
        understanding = self._understand(utterance, scope)
        if self.understander.is_instant(understanding) and (
            _stops(understanding) or not self._over(utterance)
        ):
            self._waiting = (utterance, at + STEADY)
        return None

    def _take(self, utterance: Utterance, scope: Scope, at: float) -> Heard | None:
        understanding = self._understand(utterance, scope)
        stops = _stops(understanding)
        if not stops and self._is_echo(utterance):
            return None
        over = self._over(utterance)
        if over and understanding.confidence < (STOP_OVER_COACH if stops else utterance.over_coach):
            understanding = _passed(utterance)
        if understanding.decision != "pass":
            if not stops and self._said_already(understanding, utterance.began):
                return None
            self._last = (understanding.meanings, utterance.ended)
            if not utterance.final:
                self._acted_on = utterance.began
        return Heard(
            at=at,
            text=utterance.text,
            meanings=understanding.meanings if understanding.decision != "pass" else (),
            confidence=understanding.confidence,
            decision=understanding.decision,
            began=utterance.began,
        )

    def _understand(self, utterance: Utterance, scope: Scope) -> Understanding:
        if utterance.rejected or not utterance.text:
            return _passed(utterance)
        return self.understander.understand(utterance.text, scope, utterance.confidence)

    def _over(self, utterance: Utterance) -> bool:
        """Whether the coach was speaking as its voice began, or before it had ended."""
        return bool(self.saying(_voice(utterance)) or self.saying(utterance.ended))

    def _is_echo(self, utterance: Utterance) -> bool:
        words = self.understander.tokens(utterance.text)
        said = (self.understander.tokens(text) for text in self.saying(_voice(utterance)))
        return any(contains(line, words) for line in said)

    def _said_already(self, understanding: Understanding, began: float) -> bool:
        if self._last is None or began - self._last[1] >= REPEAT_GUARD:
            return False
        meanings = self._last[0]
        # Who cries stop cries it more than once; nobody wants to be asked then what he meant.
        unsure = understanding.decision == "confirm" and understanding.confidence < ACT
        rest = unsure and any(one.id == "stop" for one in meanings)
        return rest or meanings == understanding.meanings


def _voice(utterance: Utterance) -> float:
    """When its voice began. Only if the coach spoke then may he be that voice: people answer a
    fifth of a second after he has finished, and the sound before their voice has his end in it."""
    return min(utterance.began + PREROLL, utterance.ended)


def _stops(understanding: Understanding) -> bool:
    return any(meaning.id == "stop" for meaning in understanding.meanings)


def _passed(utterance: Utterance) -> Understanding:
    return Understanding(utterance.text, (), utterance.confidence, "pass")


def contains(said: tuple[str, ...], part: tuple[str, ...]) -> bool:
    """Whether `part` occurs in `said` as a run of words.

    >>> contains(("say", "start", "when", "ready"), ("start",))
    True
    >>> contains(("say", "start"), ("start", "now"))
    False
    """
    if not part:
        return False
    return any(said[i : i + len(part)] == part for i in range(len(said) - len(part) + 1))
