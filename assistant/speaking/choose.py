"""Which voice speaks, and why; opened with its cache."""

from __future__ import annotations

from pathlib import Path

import platformdirs

from assistant.speaking.cache import RenderCache
from assistant.speaking.natural_voice import LANGUAGES, NATURAL, NaturalVoice, obstacle
from assistant.speaking.pyttsx3_voice import Pyttsx3Voice, VoiceInfo
from assistant.speaking.voice_box import VoiceBox

STANDARD = "standard"
"""What the voice is called that is always there."""


def voices_for(voice: str | None, language: str = "en") -> tuple[str, ...]:
    """The voices of a session by name, the one that speaks first.

    `voice` is the profile's: `natural`, or an id, a name or a language code of a standard voice.
    """
    standard = STANDARD if voice in (None, NATURAL, STANDARD) else str(voice)
    if obstacle(language) is not None:
        return (standard,)
    return (NATURAL, standard) if voice == NATURAL else (standard, NATURAL)


def bare_voice(voice: str | None = None, language: str = "en") -> Pyttsx3Voice | NaturalVoice:
    """A voice by its name in a profile, without a cache. Nothing is started yet."""
    if voice == NATURAL:
        return NaturalVoice(language)
    return Pyttsx3Voice(None if voice == STANDARD else voice, language)


def open_voice(voice: str | None = None, language: str = "en") -> RenderCache:
    """The voice of the profile, or the standard one where the natural one can not speak.

    Nothing is started until the first line is rendered.
    """
    folder = Path(platformdirs.user_cache_dir("cuewalk", appauthor=False)) / "speech"
    return RenderCache(folder, bare_voice(voices_for(voice, language)[0], language))


def open_voices(voice: str | None = None, language: str = "en") -> VoiceBox:
    """The voice of the profile, and those that can take its place in mid-session.

    Where the natural one is asked for and can not speak, the box's `note` says why.
    """
    note = obstacle(language) if voice == NATURAL else None
    return VoiceBox(voices_for(voice, language), lambda name: open_voice(name, language), note)


def voice_text(voice: str | None = None, language: str = "en") -> str:
    """The voice that would be used, the reason, and the others of the language, to print.

    Raises SpeakingError where there is none, or not the one asked for.
    """
    against = obstacle(language)
    if voice == NATURAL and against is None:
        return f"voice: {NATURAL}: the profile asks for it"
    speaker = Pyttsx3Voice(None if voice in (NATURAL, STANDARD) else voice, language)
    try:
        used = speaker.choice()
        others = [info for info in speaker.voices() if info.speaks(language) and info != used.info]
    finally:
        speaker.close()
    lines = [f"voice: {_shown(used.info)}: {used.why}"]
    if against is not None and (voice == NATURAL or language in LANGUAGES):
        lines.append(against)
    named = [_shown(info) for info in others] + ([] if against else [NATURAL])
    if named:
        lines.append(f"other voices for {language!r} (set `voice` in the profile to an id):")
        lines += [f"  {name}" for name in named]
    return "\n".join(lines)


def _shown(info: VoiceInfo) -> str:
    return f"{info.id} ({info.name})"
