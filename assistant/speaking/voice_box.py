"""The voices of a session, one of which speaks: changed in mid-session, each with its cache."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable

from assistant.speaking.cache import RenderCache
from assistant.speaking.port import Sound


class VoiceBox:
    """A `Voice` that others can take the place of.

    `voices` are the names there are, the one that speaks first; `opened` makes one by its name
    when it is first used. `note` is a sentence for the athlete where the voice asked for can not
    speak. Any thread may call.
    """

    def __init__(
        self, voices: tuple[str, ...], opened: Callable[[str], RenderCache], note: str | None = None
    ) -> None:
        self.voices = voices
        self.note = note
        self._opened = opened
        self._caches: dict[str, RenderCache] = {}
        self._lock = threading.Lock()
        self._speaking = voices[0]
        self._warmed: tuple[tuple[str, ...], int] = ((), 0)

    @property
    def name(self) -> str:
        return self._cache().name

    @property
    def speaking(self) -> str:
        """The name of the one that speaks."""
        return self._speaking

    @property
    def ahead(self) -> int:
        """Lines that are still to be rendered ahead."""
        return self._cache().ahead

    def use(self, voice: str) -> None:
        """Speak with this one from the next line on; what was rendered ahead is so for it too."""
        if voice not in self.voices or voice == self._speaking:
            return
        self._speaking = voice
        texts, rate = self._warmed
        self._cache().warm(texts, rate)

    def render(self, text: str, rate: int) -> Sound:
        return self._cache().render(text, rate)

    def warm(self, texts: Iterable[str], rate: int) -> None:
        """Render these ahead, in this order; returns at once."""
        new = tuple(texts)
        self._warmed = ((*self._warmed[0], *new), rate)
        self._cache().warm(new, rate)

    def settle(self, seconds: float) -> bool:
        """Wait until all that was to be rendered ahead is; False where it took longer."""
        return self._cache().settle(seconds)

    def close(self) -> None:
        """Stop rendering ahead, and end the voices."""
        with self._lock:
            caches = tuple(self._caches.values())
        for cache in caches:
            cache.close()

    def _cache(self) -> RenderCache:
        with self._lock:
            if self._speaking not in self._caches:
                self._caches[self._speaking] = self._opened(self._speaking)
            return self._caches[self._speaking]
