"""Keeps ALSA, Linux' sound library, from writing into the athlete's captions.

It prints a line on standard error at each buffer that runs dry, from inside the sound card's
thread. What matters of that is counted by the player anyway.
"""

from __future__ import annotations

import ctypes
import sys
from functools import cache


@cache
def hush_alsa() -> bool:
    """Give ALSA an error handler that does nothing; True where that could be done.

    The handler must be no Python function: it would run in the sound card's thread, and still at
    exit. C's `labs` only looks at its first argument and returns, whatever it is called with.
    """
    if not sys.platform.startswith("linux"):
        return False
    try:
        alsa = ctypes.CDLL("libasound.so.2")
        nothing = ctypes.cast(ctypes.CDLL(None).labs, ctypes.c_void_p)
        return bool(alsa.snd_lib_error_set_handler(nothing) == 0)
    except (OSError, AttributeError):
        return False
