"""Makes pyttsx3 work on Linux without an espeak-ng package of the system.

pyttsx3 asks the dynamic linker for `libespeak-ng.so.1`. The wheel `espeakng-loader` carries a
library of that very name and its data. Loaded first, and globally, it is the one that pyttsx3
gets, because the linker answers a second request for the same name with what is loaded.

The wheel's library is used ALWAYS, also where the system has one: library and data then fit
together, and a voice sounds the same, and lasts the same, on every machine. The system's library
is the fallback where the wheel's does not load (another processor or C library).

Windows and macOS bring voices of their own, and pyttsx3 a driver for each: nothing to do there.
"""

from __future__ import annotations

import ctypes
import os
import sys

_loaded: list[ctypes.CDLL] = []
"""Kept, so that the library stays loaded for the life of the process."""


def prepare() -> str:
    """Load the library where this platform needs it; call it before `import pyttsx3`.

    Returns which speech library pyttsx3 will find, for `cuewalk devices`: `native`, `wheel` or
    `system`. Changes ESPEAK_DATA_PATH of this process where the wheel's library is used, so it
    belongs into the process that renders and into no other.
    """
    if sys.platform in ("win32", "darwin"):
        return "native"
    if _loaded:
        return "wheel"
    try:
        import espeakng_loader

        data = espeakng_loader.get_data_path()
        library = ctypes.CDLL(espeakng_loader.get_library_path(), mode=ctypes.RTLD_GLOBAL)
    except (ImportError, OSError, RuntimeError):
        return "system"
    os.environ["ESPEAK_DATA_PATH"] = data
    _loaded.append(library)
    return "wheel"
