"""PortAudio, where it is installed."""

from __future__ import annotations

from typing import Any

from assistant.errors import HearingError


def portaudio() -> Any:
    """The sounddevice module. Raises HearingError where its library is missing."""
    try:
        import sounddevice
    except OSError as error:
        raise HearingError(
            "The sound library PortAudio is missing; install it (Debian and Ubuntu: "
            "apt install libportaudio2), or train without sound: cuewalk train --typed"
        ) from error
    return sounddevice
