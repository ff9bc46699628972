"""Which voice speaks, and why; opened with its cache."""

from __future__ import annotations

from pathlib import Path

import platformdirs

from assistant.speaking.cache import RenderCache
from assistant.speaking.pyttsx3_voice import Pyttsx3Voice, VoiceInfo


def open_voice(voice: str | None = None, language: str = "en") -> RenderCache:
    """The voice of the profile (an id, a name or a language code; None: the best there is).

    Nothing is started until the first line is rendered.
    """
    folder = Path(platformdirs.user_cache_dir("cuewalk", appauthor=False)) / "speech"
    return RenderCache(folder, Pyttsx3Voice(voice, language))


def voice_text(voice: str | None = None, language: str = "en") -> str:
    """The voice that would be used, the reason, and the others of the language, to print.

    Raises SpeakingError where there is none, or not the one asked for.
    """
    speaker = Pyttsx3Voice(voice, language)
    try:
        used = speaker.choice()
        others = [info for info in speaker.voices() if info.speaks(language) and info != used.info]
    finally:
        speaker.close()
    lines = [f"voice: {_shown(used.info)}: {used.why}"]
    if others:
        lines.append(f"other voices for {language!r} (set `voice` in the profile to an id):")
        lines += [f"  {_shown(info)}" for info in others]
    return "\n".join(lines)


def _shown(info: VoiceInfo) -> str:
    return f"{info.id} ({info.name})"
