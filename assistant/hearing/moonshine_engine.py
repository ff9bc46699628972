"""The embedded engine with a network that reads along: for noise, and for voices of all kinds.

The way of a sound is that of `pocketsphinx_engine.py`; its decoders give the partial texts, on
which "stop" acts at once. As soon as nothing sounds any more the network reads the utterance, while
it is still being waited whether more comes; what it read tells how long that is, and stands at the
end.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Final

import numpy as np

from assistant.hearing.adaptation import Adapted
from assistant.hearing.agreement import difference
from assistant.hearing.certainty import Things, agreed, certainty, told
from assistant.hearing.endpoint import Endpointer
from assistant.hearing.moonshine_net import PIECES, Floats, MoonshineNet
from assistant.hearing.moonshine_pieces import Pieces
from assistant.hearing.patience import Patience
from assistant.hearing.phrase_search import PhraseSearch, Reading
from assistant.hearing.pocketsphinx_engine import CLEAR, PocketsphinxRecogniser
from assistant.hearing.port import BLOCK, RATE, Samples, Utterance, Word

LOOK: Final = 0.10
"""Seconds of silence after which the network reads: it takes about as long as is waited for an
ending anyway. In noise it reads when that has been waited."""

SOFT: Final = 0.10
"""Seconds by which in noise the soft end of a phrase may outlast what the endpointer hears of it:
so much more is waited, and read. Without, 176 of 193 phrases are right in kitchen noise at 6 dB,
with it 182, and at 0.18 no more (voices of strangers)."""

AT_ONCE: Final = 2
"""Words of a partial text that may act at once, as "stop" and "hold on" do. The decoders take the
start of a sentence about other things for "give me a moment": what is longer waits for the network.
"""

PLAIN: Final = 40.0
"""Decibels by which an utterance stands out of the noise in a quiet room, where they are at 45 and
more. Partial texts act at once only there: in kitchen noise at 12 and 6 dB ten of eighteen that did
were wrong, in a quiet room one of 23."""

LONGEST: Final = 7.0
"""Seconds of an utterance that are read at most: commands are shorter, and to read talk at every
breath would take a quarter of a core."""

LEAST: Final = 0.2
"""Certainty below which it counts as no phrase. Words for stop, pain and being unwell act from here
on, others only from what `intents/understand.py` asks for. At 0.15 as many more are right in noise
as are wrong (voices of strangers)."""

CLOSE: Final = 4.0
"""A phrase that both decoders heard as well is taken before a likelier one that is ahead by less
(natural logarithm): of "stop" and "start" the network is now and then less sure than they are."""

OVER_COACH: Final = 0.97
"""It is surer than PocketSphinx of everything, of what is left of the coach's voice too."""

ROOM: Final = round(1.3 * RATE / BLOCK)
"""Blocks without speech that are kept, to know the noise of the room by."""

ONSET: Final = round(0.4 * RATE / BLOCK)
"""The latest of them, in which an utterance has begun already when it is noticed."""


class MoonshineRecogniser(PocketsphinxRecogniser):
    """Both embedded engines together; `folder` holds the network.

    Raises HearingError where a model can not be loaded.
    """

    name = "moonshine"
    over_coach = OVER_COACH

    def __init__(
        self, folder: Path, patience: Patience | None = None, adapted: Adapted | None = None
    ) -> None:
        super().__init__(patience, adapted)
        self._endpointer = Endpointer()
        self._search = PhraseSearch(MoonshineNet(folder), Pieces.load(folder / PIECES))
        self._certainty = certainty()
        self.told: tuple[str, Things] = ("", np.zeros(0))
        """The last phrase that was read, and what spoke for it and against it, for calibration."""
        self._room: deque[Samples] = deque(maxlen=ROOM)
        self._readings: tuple[Reading, ...] | None = None
        """What was read since something sounded last."""

    def accept(self, block: Samples, at: float) -> Iterator[Utterance]:
        if not self._endpointer.speaking:
            self._room.append(block)
        yield from super().accept(block, at)

    def _partly(self, text: str, ended: float) -> Utterance:
        partial = super()._partly(text, ended)
        waits = len(text.split()) > AT_ONCE or self._noisy
        return replace(partial, rejected=partial.rejected or waits)

    @property
    def _noisy(self) -> bool:
        return self._endpointer.margin < PLAIN

    def _certain(self, silence: float) -> float:
        return silence - SOFT if self._noisy else silence

    def _said(self, text: str, silence: float) -> tuple[str, ...]:
        if silence < (self.patience.whole if self._noisy else LOOK):
            self._readings = None
            return super()._said(text, silence)
        sure, words = self._surest()
        # Where nothing is sure, more may come. In noise that would be more noise.
        return words if sure >= LEAST or self._endpointer.margin < CLEAR else ()

    def _finally(self, ended: float) -> Iterator[Utterance]:
        sure, words = self._surest()
        self._readings = None
        if words:
            # The network does not tell when it heard a word.
            heard = tuple(Word(word, sure, self._began, ended) for word in words)
            text = " ".join(words)
            yield self._utterance(text, heard, sure, ended, sure >= LEAST, final=True)

    def _surest(self) -> tuple[float, tuple[str, ...]]:
        """The phrase that was most likely said, behind how certain that is."""
        if self._readings is None:
            self._readings = self._read()
        if not self._readings:
            return 0.0, ()
        decoders = self._phones_heard()
        voice = self._endpointer.voice
        all_told = []
        for one in self._readings:
            phones = self._phones(one.words)
            strict, free = (difference(phones, heard) for heard in decoders)
            all_told.append(told(one, strict, free, voice))
        best = next(
            (
                at
                for at, (one, things) in enumerate(zip(self._readings, all_told, strict=True))
                if one.lead > -CLOSE and agreed(things)
            ),
            0,
        )
        reading = self._readings[best]
        self.told = reading.text, all_told[best]
        return self._certainty.of(all_told[best]), reading.words

    def _read(self) -> tuple[Reading, ...]:
        assert self._now is not None
        if sum(map(len, self._heard)) > LONGEST * RATE:
            return ()
        blocks = list(self._room)[:-ONSET] or [np.zeros(BLOCK, np.int16)]
        sound, room = _scaled(self._sound()), _scaled(np.concatenate(blocks))
        return self._search.read(sound, room, self._now.graph)


def _scaled(sound: Samples) -> Floats:
    """From -1 to 1."""
    return (sound / 32_768).astype(np.float32)
