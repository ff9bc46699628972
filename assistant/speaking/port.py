"""What a voice and a loudspeaker give and take."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True)
class Sound:
    """Mono samples, int16, with their rate in Hz."""

    samples: NDArray[np.int16]
    rate: int

    @property
    def seconds(self) -> float:
        return len(self.samples) / self.rate


class Voice(Protocol):
    """Turns text into sound. `rate` is words a minute."""

    @property
    def name(self) -> str:
        """Which voice; renderings are kept under it."""

    def render(self, text: str, rate: int) -> Sound:
        """The text as sound. Raises SpeakingError with one clear sentence where it can not."""


class Loudspeaker(Protocol):
    """Plays sounds one after another, and marks at exact times over them.

    Times are seconds on the clock that the loudspeaker was made with (the session's). Speech is a
    queue; marks (earcons) are mixed over it at their moment, taken from the audio clock.
    """

    def say(self, sound: Sound, tag: str, ends_at: float | None = None) -> None:
        """Queue speech. With `ends_at` it starts so that it ENDS then (or at once, if late)."""

    def mark(self, sound: Sound, at: float, tag: str) -> None:
        """Mix a sound in so that its first sample sounds at `at`."""

    def hush(self) -> None:
        """Fall silent within 100 ms: stop what is being said and forget what is queued."""

    def drop_marks(self) -> None:
        """Forget marks that have not begun."""

    def on_finished(self, call: Callable[[str, bool], None]) -> None:
        """Call back with (tag, whole) when speech ended; `whole` is False where it was hushed."""

    def set_volume(self, volume: float) -> None:
        """0 to 1."""

    def close(self) -> None: ...
