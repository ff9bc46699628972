"""How long a text takes to say, before any voice has said it.

Planning and rehearsals need the seconds of thousands of lines, most of which are never said. The
weights below were fitted to the project's standard voice at its usual rate over 396 lines of the
coach and of the built-in catalogue: on average a line is 0.13 s off (`tests/bench/speech.py`).

>>> round(seconds_to_say("Push the floor away.", 165), 1)
1.2
>>> round(seconds_to_say("Push the floor away.", 330), 1)
0.7
"""

from __future__ import annotations

import re
import unicodedata

USUAL_RATE = 165
"""Words a minute; the profile's default."""

_LETTER, _DIGIT, _WORD, _BREAK, _ENDS = 0.052, 0.190, 0.042, 0.36, 0.16
"""Seconds of a letter, a digit (which is said as a word), a word, a pause at a sign within, and
of what every line has, at the usual rate."""

_SIGN = re.compile(r"[.,:;?!](?=\s)")


def seconds_to_say(text: str, rate: int) -> float:
    """Seconds from the first sound to the last, at `rate` words a minute.

    A letter that stands for several sounds (a syllable of Hangul) counts as those it is made of.
    """
    letters = sum(sign.isalpha() for sign in unicodedata.normalize("NFD", text))
    digits = sum(sign.isdigit() for sign in text)
    spoken = (
        _LETTER * letters
        + _DIGIT * digits
        + _WORD * len(text.split())
        + _BREAK * len(_SIGN.findall(text))
    )
    return spoken * USUAL_RATE / rate + _ENDS
