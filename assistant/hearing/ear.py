"""All that stands between the microphone and the recogniser, in its order.

Block -> echo canceller -> cutting in (orders to the coach) -> gate -> gain -> recogniser. What the
coach does and what came of an utterance is told from any thread; orders come back on the thread
that reads the blocks.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from functools import partial

from assistant.hearing.cut_in import CutIn, Order, Orders
from assistant.hearing.echo import Cleaned, EchoCanceller
from assistant.hearing.gain import Gain
from assistant.hearing.gate import Gate
from assistant.hearing.listener import TimedBlock
from assistant.hearing.port import Samples


class Ear:
    """Wraps a microphone's blocks: `ear.blocks(microphone.blocks())` is what to listen to.

    `order` is called with every order of cutting in; it must not take long.
    """

    def __init__(self, order: Callable[[Order], None] = lambda order: None) -> None:
        self._order = order
        self._canceller = EchoCanceller()
        self._cut_in = CutIn()
        self._gate = Gate()
        self._gain = Gain()
        self._told: deque[Callable[[], Orders]] = deque()
        self.last: Cleaned | None = None
        """The last block and its measures."""

    @property
    def delay(self) -> float:
        """Seconds by which the loudspeaker is heard later than told, as far as that is known."""
        return self._canceller.delay

    def begin(self, speech: float, noise: float) -> None:
        """Levels of the athlete's speech and of the room, in dBov, measured before the session."""
        self._gain.start(speech, noise)

    def played(self, samples: Samples, at: float) -> None:
        """What the loudspeaker plays (16 kHz), its first sample being heard at `at`."""
        self._canceller.played(samples, at)

    def coach_started(self, at: float, interruptible: bool = True) -> None:
        """A sentence of the coach is heard from `at` on."""
        self._told.append(partial(self._cut_in.coach_started, at, interruptible))

    def coach_ended(self, at: float) -> None:
        """The coach's sentence has ended, or was silenced."""
        self._told.append(partial(self._cut_in.coach_ended, at))

    def utterance(self, meant: bool, at: float) -> None:
        """What the recogniser made of something was meant for the coach, or not."""
        self._told.append(partial(self._cut_in.utterance, meant, at))

    def blocks(self, source: Iterable[TimedBlock]) -> Iterator[TimedBlock]:
        """The source's blocks (480 samples each) as the recogniser is to hear them."""
        for block, at in source:
            yield from self.hear(block, at)

    def hear(self, block: Samples, at: float) -> list[TimedBlock]:
        """One block in; none, one or several out, in their order."""
        while self._told:
            self._pass_on(self._told.popleft()())
        self.last = cleaned = self._canceller.hear(block, at)
        self._pass_on(self._cut_in.block(cleaned))
        passed = self._gate.hear(cleaned, self._cut_in.listening)
        # What was held back may have the coach in it: the gain learns nothing from that.
        own = len(passed) == 1 and (self._cut_in.listening or not cleaned.coach)
        return [(self._gain.hear(sound, cleaned.noise, own), when) for sound, when in passed]

    def _pass_on(self, orders: Orders) -> None:
        for order in orders:
            self._order(order)
