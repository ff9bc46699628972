"""How many sound streams are open, so that devices are looked for anew only while none is.

PortAudio lists the devices when it starts, and never sees one that is plugged in later; starting it
again makes a new list, and would pull the ground from under every open stream.
"""

from __future__ import annotations

import threading
from typing import Any

_lock = threading.Lock()
_open = 0


def hold() -> None:
    """Before a stream is made: from here on it counts as open."""
    global _open
    with _lock:
        _open += 1


def release() -> None:
    """After a stream was closed, or could not be made."""
    global _open
    with _lock:
        _open -= 1


def look_again(sounddevice: Any) -> bool:
    """Make a new list of the devices; False where a stream is open, so that it can not be."""
    with _lock:
        if _open:
            return False
        # The library has no public way to do this.
        sounddevice._terminate()
        sounddevice._initialize()
        return True
