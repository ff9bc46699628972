"""What sounds when: a queue of speech, and marks over it, mixed into one stream of frames.

No device and no clock: whoever plays asks for the next frames and says, by a `Timeline`, when they
will be heard. Orders wait in a queue of their own and are taken at the next `fill`, so no lock is
ever held between the sound card's thread and the program's.

    >>> import numpy as np
    >>> from assistant.speaking.timeline import Timeline
    >>> line = Timeline(100)
    >>> line.observe(0, 0.0)
    >>> mixer = Mixer(line)
    >>> mixer.say(Sound(np.full(50, 1000, np.int16), 100), "hello", ends_at=1.0)
    >>> out = np.zeros(200, np.float32)
    >>> [(end.tag, end.whole, end.frame) for end in mixer.fill(200, out)]
    [('hello', True, 100)]
    >>> np.flatnonzero(out)[[0, -1]].tolist()
    [50, 99]
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from assistant.speaking.port import Sound
from assistant.speaking.shape import at_rate
from assistant.speaking.timeline import Timeline

FADE = 0.02
"""Seconds in which a hushed sound fades: short enough to be silence at once, too long to click."""

PAUSE = 0.12
"""Seconds of breath between one line and the next."""

KEPT = 64
"""How many of the last spoken lines are remembered for `now_saying`."""


@dataclass
class _Playing:
    """A sound under way or waiting; `start` is its first frame once that is known."""

    sound: Sound
    tag: str
    at: float | None
    samples: NDArray[np.float32]
    rate: int
    start: int | None = None
    done: int = 0
    silent: bool = False
    """Some of it was played to no device."""


@dataclass(frozen=True)
class End:
    """Speech ended: heard whole or not, its last frame being the one before `frame`."""

    tag: str
    whole: bool
    frame: int


@dataclass(frozen=True)
class Span:
    """When a line was, is or will be heard, on the session's clock."""

    tag: str
    began: float
    ended: float


@dataclass
class Mixer:
    """Takes orders from any thread; `fill` and `change_rate` are called by one player at a time."""

    timeline: Timeline
    frame: int = 0
    """The next frame to be filled."""
    spans: tuple[Span, ...] = ()
    """The last lines that began, oldest first; replaced as a whole, so any thread may read it."""
    _orders: deque[Callable[[], None]] = field(default_factory=deque)
    _speech: deque[_Playing] = field(default_factory=deque)
    _marks: list[_Playing] = field(default_factory=list)
    _ends: list[End] = field(default_factory=list)
    _fading: list[tuple[int, NDArray[np.float32]]] = field(default_factory=list)
    _free: int = 0
    """The first frame at which the next line may begin."""
    _volume: float = 1.0
    _gain: float = 1.0

    def say(self, sound: Sound, tag: str, ends_at: float | None = None) -> None:
        item = self._item(sound, tag, ends_at)
        self._orders.append(lambda: self._speech.append(self._at_this_rate(item)))

    def mark(self, sound: Sound, at: float, tag: str) -> None:
        item = self._item(sound, tag, at)
        self._orders.append(lambda: self._marks.append(self._at_this_rate(item)))

    def hush(self) -> None:
        self._orders.append(self._hush)

    def drop_marks(self) -> None:
        self._orders.append(self._drop_marks)

    def set_volume(self, volume: float) -> None:
        """0 to 1, perceived: half is about half as loud."""
        # A loudness of one half is about 10 dB down, so power goes with the third power or so.
        self._volume = min(1.0, max(0.0, volume)) ** 1.66

    @property
    def busy(self) -> bool:
        """Something sounds or waits."""
        return bool(self._orders or self._speech or self._marks or self._fading)

    @property
    def sounding(self) -> bool:
        """Something is under way now."""
        playing = (*self._speech, *self._marks)
        return bool(self._fading) or any(item.start is not None for item in playing)

    def saying(self, at: float, after: float = 0.0) -> list[Span]:
        """The lines heard at a time, or ended less than `after` seconds before it."""
        return [span for span in self.spans if span.began <= at <= span.ended + after]

    def next_end(self) -> float | None:
        """When the line under way, or the next to come, will have ended; None without one."""
        if not self._speech:
            return None
        item = self._speech[0]
        return self.timeline.time_of(self._start_of(item, self.frame) + len(item.samples))

    def change_rate(self, rate: int) -> None:
        """The frames that follow are at another rate; what waits goes on where it was."""
        old = self.timeline.rate
        if rate == old:
            return
        share = rate / old
        self.timeline.restart(rate)
        self.frame, self._free = round(self.frame * share), round(self._free * share)
        for item in (*self._speech, *self._marks):
            self._at_this_rate(item)
            item.done = min(len(item.samples), round(item.done * share))
            if item.start is not None:
                item.start = round(item.start * share)
        self._fading.clear()

    def fill(self, count: int, out: NDArray[np.float32] | None) -> list[End]:
        """Mix the next `count` frames into `out` (zeroed by the caller), or into nothing.

        Returns what ended in them. With `out` None time passes just the same, unheard.
        """
        while self._orders:
            self._orders.popleft()()
        begin, end = self.frame, self.frame + count
        if not (self._speech or self._marks or self._fading or self._ends):
            self._gain = self._volume
            self.frame = end
            return []
        self._fill_speech(begin, end, out)
        self._fill_marks(begin, end, out)
        self._fill_fading(begin, end, out)
        if out is not None:
            self._apply_volume(out)
        self.frame = end
        ends, self._ends = self._ends, []
        return ends

    def _item(self, sound: Sound, tag: str, at: float | None) -> _Playing:
        rate = self.timeline.rate
        return _Playing(sound, tag, at, _floats(sound, rate), rate)

    def _at_this_rate(self, item: _Playing) -> _Playing:
        if item.rate != self.timeline.rate:
            item.rate = self.timeline.rate
            item.samples = _floats(item.sound, item.rate)
        return item

    def _fill_speech(self, begin: int, end: int, out: NDArray[np.float32] | None) -> None:
        while self._speech:
            item = self._speech[0]
            length = len(item.samples)
            if item.start is None:
                start = self._start_of(item, begin)
                if start >= end:
                    return
                item.start = start
                self._note(item)
            reached = self._copy(item, end, out)
            if reached < length:
                return
            self._speech.popleft()
            last = item.start + length
            self._free = last + round(PAUSE * self.timeline.rate)
            self._ends.append(End(item.tag, not item.silent, last))

    def _start_of(self, item: _Playing, begin: int) -> int:
        if item.start is not None:
            return item.start
        start = max(begin, self._free)
        if item.at is None:
            return start
        return max(start, self.timeline.frame_of(item.at) - len(item.samples))

    def _fill_marks(self, begin: int, end: int, out: NDArray[np.float32] | None) -> None:
        if not self._marks:
            return
        left = []
        for item in self._marks:
            if item.start is None:
                assert item.at is not None
                # A mark that is late sounds at once: late is better than never.
                start = max(begin, self.timeline.frame_of(item.at))
                if start >= end:
                    left.append(item)
                    continue
                item.start = start
            if self._copy(item, end, out) < len(item.samples):
                left.append(item)
        self._marks = left

    def _copy(self, item: _Playing, end: int, out: NDArray[np.float32] | None) -> int:
        """Mix what of an item falls before `end`; how much of it is done then."""
        assert item.start is not None
        until = min(len(item.samples), end - item.start)
        if out is None:
            item.silent = item.silent or until > item.done
        elif until > item.done:
            at = item.start + item.done - (end - len(out))
            out[at : at + until - item.done] += item.samples[item.done : until]
        item.done = max(item.done, until)
        return item.done

    def _note(self, item: _Playing) -> None:
        assert item.start is not None
        began = self.timeline.time_of(item.start)
        ended = began + len(item.samples) / self.timeline.rate
        self.spans = (*self.spans[1 - KEPT :], Span(item.tag, began, ended))

    def _hush(self) -> None:
        fade = round(FADE * self.timeline.rate)
        length = 0
        for item in self._speech:
            if item.start is not None:
                length = self._fade(item, fade)
                ended = self.timeline.time_of(self.frame + length)
                self.spans = (*self.spans[:-1], replace(self.spans[-1], ended=ended))
            self._ends.append(End(item.tag, False, self.frame + length))
        self._speech.clear()
        self._free = self.frame + fade
        for item in self._marks:
            if item.start is not None:
                self._fade(item, fade)
        self._drop_begun()

    def _fade(self, item: _Playing, fade: int) -> int:
        rest = item.samples[item.done : item.done + fade]
        self._fading.append((self.frame, rest * np.linspace(1, 0, len(rest), dtype=np.float32)))
        return len(rest)

    def _drop_begun(self) -> None:
        self._marks = [item for item in self._marks if item.start is None]

    def _drop_marks(self) -> None:
        self._marks = [item for item in self._marks if item.start is not None]

    def _fill_fading(self, begin: int, end: int, out: NDArray[np.float32] | None) -> None:
        left = []
        for start, samples in self._fading:
            if out is not None:
                at = max(start, begin)
                piece = samples[at - start : end - start]
                out[at - begin : at - begin + len(piece)] += piece
            if start + len(samples) > end:
                left.append((start, samples))
        self._fading = left

    def _apply_volume(self, out: NDArray[np.float32]) -> None:
        if self._gain == self._volume:
            if self._gain != 1.0:
                out *= self._gain
        else:
            out *= np.linspace(self._gain, self._volume, len(out), dtype=np.float32)
            self._gain = self._volume
        np.clip(out, -1.0, 1.0, out=out)


def _floats(sound: Sound, rate: int) -> NDArray[np.float32]:
    return at_rate(sound, rate).astype(np.float32) / np.float32(32768)
