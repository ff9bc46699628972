"""The audio devices of this machine."""

from __future__ import annotations

from assistant.errors import HearingError
from assistant.hearing.portaudio import portaudio


def devices_text() -> str:
    """Every device by number, with its channels and rate; `>` marks the default microphone, `<`
    the default loudspeaker. Raises HearingError where there is no sound library."""
    sounddevice = portaudio()
    found = sounddevice.query_devices()
    if not len(found):
        return "No audio devices: plug in a microphone and a loudspeaker."
    microphone, loudspeaker = sounddevice.default.device
    lines = ["audio devices (> default microphone, < default loudspeaker):"]
    for number, device in enumerate(found):
        marks = (">" if number == microphone else " ") + ("<" if number == loudspeaker else " ")
        lines.append(
            f"{marks} {number:3d} {device['name']}: {device['max_input_channels']} in, "
            f"{device['max_output_channels']} out, {device['default_samplerate']:.0f} Hz"
        )
    return "\n".join(lines)


def has_microphone() -> bool:
    """Whether the system has a microphone of its own choice."""
    try:
        sounddevice = portaudio()
    except HearingError:
        return False
    try:
        sounddevice.query_devices(None, "input")
    except (sounddevice.PortAudioError, ValueError):
        return False
    return True
