"""How well a sound fits a text, by the acoustic model alone: the text is laid along the sound.

Nothing that a language model believes comes into it. Of two texts, the one that the sound fits
better is told by the difference of their scores, per frame of speech: the classic test of an
utterance against a model of anything else (R. Rose and D. Paul, "A hidden Markov model based
keyword recognition system", ICASSP 1990; from memory).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import pocketsphinx

from assistant.hearing.port import Samples

_FILLERS: Final = ("<", "+", "[", "(")
"""What names of silences and noises begin with."""


@dataclass(frozen=True)
class Fit:
    """Scores in the decoder's units, the higher the better: of the whole sound, and of the words
    alone; and how many frames (10 ms) the words take."""

    whole: int
    words: int
    frames: int


class Aligner:
    """Lays texts along sounds. `settings` are those of the decoder that heard them; `sound_of`
    gives the phones of words that the dictionary lacks.

    Some 20 ms for a short command, on one core.
    """

    def __init__(
        self,
        settings: dict[str, str | int],
        sound_of: Callable[[str], str | None] = lambda word: None,
    ) -> None:
        # The alignment can not use what the third pass finds.
        self._decoder = pocketsphinx.Decoder(lm=None, bestpath=False, **settings)
        self._sound_of = sound_of

    def start_from(self, mean: str) -> None:
        """The mean of the features to go on from."""
        self._decoder.set_cmn(mean)

    def fit(self, text: str, sound: Samples, mean: str | None = None) -> Fit | None:
        """How well the text fits, or None where it can not be laid along the sound, or has a word
        without a pronunciation. Without a `mean`, the one that was left by the sound before."""
        if not text or not all(self._known(word) for word in text.split()):
            return None
        self._decoder.set_align_text(text)
        self._hear(sound, mean)
        # The library must not be asked for a hypothesis after the second run: it has none.
        if self._decoder.hyp() is None:
            return None
        try:
            self._decoder.set_alignment()
            # In noise the sounds of a word may find no way to its end.
            self._hear(sound, mean)
        except RuntimeError:
            return None
        parts = [
            (part.score, part.duration, part.name.startswith(_FILLERS))
            for part in self._decoder.get_alignment() or ()
        ]
        return Fit(
            sum(score for score, _, _ in parts),
            sum(score for score, _, filler in parts if not filler),
            sum(frames for _, frames, filler in parts if not filler),
        )

    def ratio(self, one: str, other: str, sound: Samples, mean: str) -> float | None:
        """By how much better one text fits than another, per frame of the first one's words: 0
        where they are the same, negative where the other fits better, None where that can not be
        told."""
        if one == other:
            return 0.0
        first = self.fit(one, sound, mean)
        second = self.fit(other, sound, mean)
        if first is None or second is None:
            return None
        return (first.whole - second.whole) / max(1, first.frames)

    def _hear(self, sound: Samples, mean: str | None) -> None:
        if mean is not None:
            self._decoder.set_cmn(mean)
        self._decoder.start_utt()
        self._decoder.process_raw(sound.tobytes())
        self._decoder.end_utt()

    def _known(self, word: str) -> bool:
        if self._decoder.lookup_word(word) is None:
            phones = self._sound_of(word)
            if phones is None:
                return False
            self._decoder.add_word(word, phones, False)
        return True
