"""Is the echo canceller to be trusted? Where it takes nothing out, what is left is the echo.

At the begin of a session, with a loudspeaker whose delay is not yet found, or after something in
the room was moved, the filter has not learned the way of the sound. What is left is then the
coach's own voice, and says nothing about anybody else's.

>>> trust = Trust()
>>> for _ in range(10):
...     trust.hear(heard=0.01, left=0.009, noise=1e-6, seconds=0.03)
>>> trust.given
False
>>> for _ in range(100):
...     trust.hear(heard=0.01, left=0.0002, noise=1e-6, seconds=0.03)
>>> trust.given
True
"""

from __future__ import annotations

import math
from typing import Final

MEMORY: Final = 1.0
"""Seconds of audible echo over which it is judged."""

GIVEN: Final = 0.25
"""Share of the echo's power (-6 dB) below which what is left makes the canceller trusted."""

LOST: Final = 0.7
"""Share (-1.5 dB) from which on trust is lost: somebody who speaks over the coach, as loud as he
is, leaves a half more than there was, but not in every sound he makes."""

AUDIBLE: Final = 4.0
"""How many times the power of the noise makes an echo audible; a fainter one needs no trust."""


class Trust:
    """Powers of single blocks go in, while something is played; `given` is the judgement."""

    def __init__(self) -> None:
        self.given = True
        """Nothing that was heard up to now needed cancelling and was not."""
        self.hopeless_for = 0.0
        """Seconds of audible echo of which next to nothing was taken out."""
        self._heard = 0.0
        self._left = 0.0

    def hear(self, heard: float, left: float, noise: float, seconds: float) -> None:
        """Powers (mean squares) of a block: as heard, as left, and of the room's noise."""
        if heard < AUDIBLE * noise:
            return
        keep = math.exp(-seconds / MEMORY)
        self._heard = keep * self._heard + heard - noise
        self._left = keep * self._left + max(left - noise, 0.0)
        hopeless = self._left > LOST * self._heard
        self.given = not hopeless if self.given else self._left < GIVEN * self._heard
        self.hopeless_for = self.hopeless_for + seconds if hopeless else 0.0
