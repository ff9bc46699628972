"""Whose turn it is to speak: the coach's, or that of an athlete who cuts in.

Told block by block what the microphone hears, and by the session what came of it, this keeps the
ear and the loudspeaker told of each other: the coach falls silent when somebody speaks over him,
goes on from the beginning of his sentence where nothing was meant, does not begin while somebody
else speaks, and is never heard by the recogniser himself.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Final

from assistant.hearing.cut_in import Duck, Order, Repeat, Restore, Silence
from assistant.hearing.ear import Ear
from assistant.hearing.listener import TimedBlock
from assistant.hearing.port import Samples
from assistant.speaking.interruptible import Interruptible
from assistant.speaking.mixer import Span

LONGEST_WAIT: Final = 2.5
"""Seconds for which the coach waits with a line while somebody speaks: about as long as the longest
command takes. A television speaks for ever."""


class Turns:
    """`saying(at)` gives the lines that are heard at a session time, oldest first; `may_cut(tag)`
    whether that line may be interrupted."""

    def __init__(
        self,
        loudspeaker: Interruptible,
        saying: Callable[[float], Sequence[Span]],
        may_cut: Callable[[str], bool],
    ) -> None:
        self._loudspeaker = loudspeaker
        self._saying = saying
        self._may_cut = may_cut
        self._ear = Ear(self._ordered)
        self._line: str | None = None
        """The tag of the line that is being heard."""
        self._waits_until: float | None = None

    @property
    def delay(self) -> float:
        """Seconds by which the loudspeaker is heard later than it tells."""
        return self._ear.delay

    def played(self, samples: Samples, at: float) -> None:
        """What the loudspeaker plays (16 kHz), its first sample being heard at `at`."""
        self._ear.played(samples, at)

    def begin(self, speech: float, noise: float) -> None:
        """How loud the athlete and the room are, in dBov, as measured before the session."""
        self._ear.begin(speech, noise)

    def blocks(self, source: Iterable[TimedBlock]) -> Iterator[TimedBlock]:
        """The microphone's blocks as the recogniser is to hear them."""
        return self._ear.blocks(self._watched(source))

    def heard(self, meant: bool, at: float) -> None:
        """What the recogniser made of something was meant for the coach, or not."""
        self._ear.utterance(meant, at)

    def settled(self) -> None:
        """The session did what was meant: whatever it did not hush goes on."""
        self._loudspeaker.go_on()

    def taken(self, at: float) -> None:
        """Somebody has begun to speak: the coach begins nothing until it is his turn. Let him know
        of the time (`waited`) once `LONGEST_WAIT` has passed: a microphone may be lost meanwhile.
        """
        self._loudspeaker.wait()
        self._waits_until = at + LONGEST_WAIT

    def waited(self, at: float) -> None:
        """It is `at`: if he has waited for so long by now, he waits no longer."""
        if self._waits_until is not None and at >= self._waits_until:
            self.left()

    def left(self) -> None:
        """That was the end of it, and the session has been told: it is the coach's turn, unless he
        was silenced, and waits whether it is said again."""
        self._waits_until = None
        if self._loudspeaker.waiting:
            self._loudspeaker.go_on()

    def _watched(self, source: Iterable[TimedBlock]) -> Iterator[TimedBlock]:
        for block, at in source:
            spans = self._saying(at)
            line = spans[-1].tag if spans else None
            if line != self._line:
                if self._line is not None:
                    self._ear.coach_ended(at)
                if line is not None:
                    self._ear.coach_started(spans[-1].began, self._may_cut(line))
                self._line = line
            yield block, at

    def _ordered(self, order: Order) -> None:
        match order:
            case Silence():
                self._loudspeaker.silence()
            case Repeat():
                self._loudspeaker.go_on()
            case Duck():
                self._loudspeaker.duck()
            case Restore():
                self._loudspeaker.restore()
