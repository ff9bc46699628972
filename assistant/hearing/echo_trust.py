"""Is the echo canceller to be trusted? Where it takes nothing out, what is left is the echo.

At the begin of a session, with a loudspeaker whose delay is not yet found, or after something in
the room was moved, the filter has not learned the way of the sound. What is left is then the
coach's own voice, and says nothing about anybody else's.

Somebody who speaks louder than the coach is heard leaves just as much. So sound that is louder than
any echo lately was, for what is being played, is not the coach's and says nothing about the
canceller; unless it goes on: then the loudspeaker was turned up.

>>> trust = Trust()
>>> for _ in range(10):
...     trust.hear(heard=0.01, left=0.009, played=0.02, noise=1e-6, seconds=0.03)
>>> trust.given
False
>>> for _ in range(100):
...     trust.hear(heard=0.01, left=0.0002, played=0.02, noise=1e-6, seconds=0.03)
>>> trust.given
True
>>> for _ in range(50):
...     trust.hear(heard=0.1, left=0.09, played=0.02, noise=1e-6, seconds=0.03)
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

FADING: Final = 0.05
"""Seconds in which the power of an echo falls to a third (a reverberation of 0.7 s)."""

FORGETTING: Final = 30.0
"""Seconds of played sound in which the strength of the strongest echo falls to a third."""

LOUDER: Final = 2.0
"""How many times as strong as the strongest echo a sound is that is not the coach's."""

TURNED_UP: Final = 2.0
"""Seconds of such sound while he speaks, after which it is his for all that: whoever cuts in has
had him fall silent by then."""


class Trust:
    """Powers of single blocks go in, while something is played; `given` is the judgement."""

    def __init__(self) -> None:
        self.given = True
        """Nothing that was heard up to now needed cancelling and was not."""
        self.hopeless_for = 0.0
        """Seconds of audible echo of which next to nothing was taken out."""
        self._heard = 0.0
        self._left = 0.0
        self._played = 0.0
        """What may still be heard of what was played."""
        self._strength: float | None = None
        """Power of the strongest echo lately, as a share of what was played; none is known yet."""
        self._louder_for = 0.0

    def hear(self, heard: float, left: float, played: float, noise: float, seconds: float) -> None:
        """Powers (mean squares) of a block: as heard, left and played, and of the room's noise."""
        self._played = max(played, self._played * math.exp(-seconds / FADING))
        if heard < AUDIBLE * noise:
            return
        if left < GIVEN * heard:
            self._echo_was(heard, played, seconds)
        elif self._is_somebody_else(heard, noise, seconds):
            return
        keep = math.exp(-seconds / MEMORY)
        self._heard = keep * self._heard + heard - noise
        self._left = keep * self._left + max(left - noise, 0.0)
        hopeless = self._left > LOST * self._heard
        self.given = not hopeless if self.given else self._left < GIVEN * self._heard
        self.hopeless_for = self.hopeless_for + seconds if hopeless else 0.0

    def _echo_was(self, heard: float, played: float, seconds: float) -> None:
        """What was taken out was an echo: it tells how strong one is, unless it was dying away."""
        self._louder_for = 0.0
        if played > self._played / 2:
            faded = (self._strength or 0.0) * math.exp(-seconds / FORGETTING)
            self._strength = max(heard / played, faded)

    def _is_somebody_else(self, heard: float, noise: float, seconds: float) -> bool:
        if self._strength is None:
            return False
        echo = self._strength * self._played
        if heard < LOUDER * max(echo, noise):
            return False
        if echo > AUDIBLE * noise:
            self._louder_for += seconds
        return self._louder_for < TURNED_UP
