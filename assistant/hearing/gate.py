"""What the recogniser hears while the coach speaks: nothing, unless somebody cuts in.

Blocks are held back for a moment while the coach can be heard. Where it turns out that somebody
speaks, they go through as they are, from shortly before the first hint of it; before that, and
where nobody does, they go through turned down to the noise of the room. So the recogniser never
hears the coach, loses no first syllable, and time goes on for it. Nobody waits while nothing is
played.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from typing import Final

import numpy as np

from assistant.hearing.cut_in import HINT, SURE
from assistant.hearing.echo import Cleaned
from assistant.hearing.listener import TimedBlock
from assistant.hearing.port import BLOCK, RATE, Samples

HOLD: Final = round(0.45 * RATE / BLOCK)
"""Blocks that are held back: what it takes to be sure, and the onset before that."""

BEFORE: Final = round(0.15 * RATE / BLOCK)
"""Blocks before the first hint of a voice that belong to it: soft consonants."""

OPEN: Final = 1.2
"""Seconds for which it stays open after the last sign of a voice: pauses between words."""


class Gate:
    """Cleaned blocks go in, blocks for the recogniser come out, in their order."""

    def __init__(self) -> None:
        self._held: deque[Cleaned] = deque()
        self._open_until = -np.inf

    def hear(self, cleaned: Cleaned, listening: bool = False) -> list[TimedBlock]:
        """What may be heard now; `listening` holds it open."""
        if cleaned.coach and cleaned.trusted and cleaned.odds >= SURE:
            self._open_until = cleaned.at + OPEN
        self._held.append(cleaned)
        if listening or not cleaned.coach or cleaned.at < self._open_until:
            return list(self._all_held())
        if len(self._held) <= HOLD:
            return []
        oldest = self._held.popleft()
        return [(turned_down(oldest), oldest.at)]

    def _all_held(self) -> Iterator[TimedBlock]:
        hints = (n for n, block in enumerate(self._held) if block.odds >= HINT)
        own = next(hints, 0) - BEFORE
        for number, block in enumerate(self._held):
            yield (block.samples if number >= own else turned_down(block)), block.at
        self._held.clear()


def turned_down(cleaned: Cleaned) -> Samples:
    """The block, no louder than the noise of the room."""
    over = cleaned.left - cleaned.noise
    if over <= 0:
        return cleaned.samples
    quiet: Samples = np.rint(cleaned.samples * 10 ** (-over / 20)).astype(np.int16)
    return quiet
