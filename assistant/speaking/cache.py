"""Lines rendered once and kept: a voice with a memory, so that speech starts at once."""

from __future__ import annotations

import contextlib
import hashlib
import logging
import os
import tempfile
import threading
from collections import OrderedDict, deque
from collections.abc import Iterable
from pathlib import Path

from assistant.errors import SpeakingError
from assistant.speaking.port import Sound, Voice
from assistant.speaking.sound_file import read_sound, wav_bytes

_log = logging.getLogger(__name__)

LIMIT = 100_000_000
"""Bytes on disk: some 2,000 lines of three seconds."""

KEPT = 0.8
"""Share of the limit that is kept when the oldest are thrown out."""

AT_HAND = 48
"""Lines kept in memory too."""

_DIGEST = 16
"""Bytes of digest behind each WAV, which players of WAV files overlook."""


class RenderCache:
    """A `Voice` in front of another: what was rendered once comes from memory or from disk.

    Entries are kept by the voice's name, the rate and the text. The folder is the user's alone,
    since lines may tell of pain; entries are written whole or not at all; a damaged one is
    rendered again; the least lately used go first beyond `limit` bytes. A disk that is full or
    locked only costs time. Any thread may call.
    """

    def __init__(self, folder: Path | None, voice: Voice, *, limit: int = LIMIT) -> None:
        """With `folder` None only the last lines are kept, in memory."""
        self._folder = folder
        self._voice = voice
        self._limit = limit
        self._size: int | None = None
        """Bytes on disk, once they were counted."""
        self._at_hand: OrderedDict[str, Sound] = OrderedDict()
        self._state = threading.Condition()
        self._rendering = threading.Lock()
        self._asked = 0
        """How many threads wait for a line now: rendering ahead stands back meanwhile."""
        self._ahead: deque[tuple[str, int]] = deque()
        self._thread: threading.Thread | None = None
        self._closed = False

    @property
    def name(self) -> str:
        return self._voice.name

    def render(self, text: str, rate: int) -> Sound:
        """The text as sound, from the cache where it is there. Raises as the voice does."""
        key = self._key(text, rate)
        if (sound := self._find(key)) is not None:
            return sound
        with self._state:
            self._asked += 1
        try:
            with self._rendering:
                # It may just have been rendered ahead while this thread waited.
                return self._find(key) or self._render(key, text, rate)
        finally:
            with self._state:
                self._asked -= 1
                self._state.notify_all()

    def warm(self, texts: Iterable[str], rate: int) -> None:
        """Render these ahead, in this order, on a thread of its own; returns at once.

        What is asked for by `render` meanwhile comes first. A text that can not be rendered is
        passed over: `render` will say why, if it is ever needed.
        """
        with self._state:
            self._ahead.extend((text, rate) for text in texts)
            if self._thread is None and not self._closed:
                self._thread = threading.Thread(target=self._work, name="ahead", daemon=True)
                self._thread.start()
            self._state.notify_all()

    @property
    def ahead(self) -> int:
        """Lines that are still to be rendered ahead."""
        with self._state:
            return len(self._ahead)

    def settle(self, seconds: float) -> bool:
        """Wait until all that was to be rendered ahead is; False where it took longer."""
        with self._state:
            return self._state.wait_for(lambda: not self._ahead, seconds)

    def close(self) -> None:
        """Stop rendering ahead."""
        with self._state:
            self._closed = True
            self._ahead.clear()
            self._state.notify_all()
        if self._thread is not None:
            self._thread.join()

    def _work(self) -> None:
        while True:
            with self._state:
                self._state.wait_for(lambda: self._closed or (self._ahead and not self._asked))
                if self._closed:
                    return
                text, rate = self._ahead[0]
            key = self._key(text, rate)
            with contextlib.suppress(SpeakingError), self._rendering:
                if not self._has(key):
                    self._render(key, text, rate)
            with self._state:
                # Closing may have emptied the queue meanwhile.
                if self._ahead:
                    self._ahead.popleft()
                self._state.notify_all()

    def _key(self, text: str, rate: int) -> str:
        told = "\0".join((self._voice.name, str(rate), text))
        return hashlib.blake2b(told.encode(), digest_size=20).hexdigest()

    def _has(self, key: str) -> bool:
        with self._state:
            if key in self._at_hand:
                return True
        file = self._file(key)
        return file is not None and _read(file) is not None

    def _find(self, key: str) -> Sound | None:
        with self._state:
            if key in self._at_hand:
                self._at_hand.move_to_end(key)
                return self._at_hand[key]
        file = self._file(key)
        sound = _read(file) if file is not None else None
        if sound is not None:
            assert file is not None
            with contextlib.suppress(OSError):
                os.utime(file)
            self._keep_at_hand(key, sound)
        return sound

    def _render(self, key: str, text: str, rate: int) -> Sound:
        sound = self._voice.render(text, rate)
        self._keep_at_hand(key, sound)
        file = self._file(key)
        if file is not None:
            try:
                self._write(file, sound)
            except OSError as why:
                _log.info("a rendered line is not kept: %s", why)
        return sound

    def _keep_at_hand(self, key: str, sound: Sound) -> None:
        with self._state:
            self._at_hand[key] = sound
            self._at_hand.move_to_end(key)
            while len(self._at_hand) > AT_HAND:
                self._at_hand.popitem(last=False)

    def _file(self, key: str) -> Path | None:
        return self._folder / f"{key}.wav" if self._folder is not None else None

    def _write(self, file: Path, sound: Sound) -> None:
        data = wav_bytes(sound)
        data += _digest(data)
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        if os.name == "posix" and file.parent.stat().st_mode & 0o077:
            file.parent.chmod(0o700)
        # A name of its own, so that two programs never write into one file; private as made.
        handle, part = tempfile.mkstemp(dir=file.parent, suffix=".part")
        try:
            with os.fdopen(handle, "wb") as out:
                out.write(data)
            os.replace(part, file)
        except OSError:
            with contextlib.suppress(OSError):
                os.unlink(part)
            raise
        self._make_room(file.parent, len(data))

    def _make_room(self, folder: Path, added: int) -> None:
        if self._size is not None:
            self._size += added
            if self._size <= self._limit:
                return
        entries = []
        for file in folder.iterdir():
            with contextlib.suppress(OSError):
                status = file.stat()
                entries.append((status.st_mtime_ns, status.st_size, file))
        self._size = sum(size for _, size, _ in entries)
        if self._size <= self._limit:
            return
        # The newest is what was just written: it stays, whatever the limit.
        for _, size, file in sorted(entries)[:-1]:
            if self._size <= self._limit * KEPT:
                break
            with contextlib.suppress(OSError):
                file.unlink()
                self._size -= size


def _digest(data: bytes) -> bytes:
    return hashlib.blake2b(data, digest_size=_DIGEST).digest()


def _read(file: Path) -> Sound | None:
    """The entry, or None where there is none, or a damaged one."""
    try:
        stored = file.read_bytes()
    except OSError:
        return None
    data, digest = stored[:-_DIGEST], stored[-_DIGEST:]
    if _digest(data) != digest:
        return None
    try:
        return read_sound(data)
    except SpeakingError:
        return None
