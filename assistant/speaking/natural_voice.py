"""The natural voice: hibari, an extra of its own (`pip install "cuewalk[natural]"`).

It speaks English, without a network: the voice named here is the one that its wheel carries.
"""

from __future__ import annotations

import threading
from importlib import metadata
from importlib.util import find_spec
from typing import Any

import numpy as np

from assistant.errors import SpeakingError
from assistant.speaking.port import Sound
from assistant.speaking.pronunciation import for_language
from assistant.speaking.shape import shaped
from catalogue.speech import USUAL_RATE

NATURAL = "natural"
"""What the voice is called in a profile."""

LANGUAGES = frozenset({"en"})

SPEAKER = "heart"
"""The voice inside the wheel; others would be fetched over the network."""

PACE = 0.96
"""Its speed at which the usual rate takes as long as with the standard voice
(`tests/bench/speech.py`)."""

SLOWEST, FASTEST = 0.5, 2.0
"""Speeds that it takes."""

INSTALL = 'pip install "cuewalk[natural]"'


def obstacle(language: str = "en") -> str | None:
    """Why the natural voice can not speak here, in one sentence; None where it can."""
    if language not in LANGUAGES:
        return f"The natural voice does not speak {language!r}, so the standard one does."
    if find_spec("hibari") is None or find_spec("onnxruntime") is None:
        return f"The natural voice is not installed, so the standard one speaks; add: {INSTALL}"
    return None


class NaturalVoice:
    """A `Voice`. Any thread may call; one rendering at a time. Loaded at the first rendering."""

    def __init__(self, language: str = "en") -> None:
        self._pronunciation = for_language(language, NATURAL)
        self._lock = threading.Lock()
        self._voice: Any = None

    @property
    def name(self) -> str:
        version = metadata.version("hibari-tts")
        return ":".join((NATURAL, SPEAKER, version, self._pronunciation.digest))

    def render(self, text: str, rate: int) -> Sound:
        """The text as sound at `rate` words a minute, without the silence around it.

        The same text gives the same samples. Raises SpeakingError where it gives none.
        """
        if not any(letter.isalnum() for letter in text):
            raise SpeakingError(f"There is nothing to say in {text!r}; write words into the line.")
        speed = min(FASTEST, max(SLOWEST, PACE * rate / USUAL_RATE))
        with self._lock:
            voice = self._loaded()
            try:
                made = voice(self._pronunciation.respelled(text), speed=speed, seed=0)
            except Exception as why:
                raise SpeakingError(
                    f"The natural voice gave no sound for {text!r} ({why}); take `voice` out of "
                    "the profile, and the standard one speaks."
                ) from why
        samples = (np.clip(made, -1.0, 1.0) * 32767).astype(np.int16)
        return shaped(Sound(samples, voice.sample_rate))

    def close(self) -> None:
        """Give its memory back."""
        with self._lock:
            self._voice = None

    def _loaded(self) -> Any:
        if self._voice is None:
            try:
                from hibari import Hibari

                self._voice = Hibari(voice=SPEAKER)
            except Exception as why:
                raise SpeakingError(
                    f"The natural voice can not be loaded ({why}); install it anew with: {INSTALL}"
                ) from why
        return self._voice
