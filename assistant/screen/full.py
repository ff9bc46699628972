"""The captions on a whole terminal: the chat and one large thing, kept on the second.

What happens is taken from any thread; a thread of its own paints, at once when something happened
and else when the number that is shown changes.
"""

from __future__ import annotations

import threading
from collections.abc import Iterable, Iterator

from assistant.captions import Captions
from assistant.clock import SessionClock
from assistant.screen.chat import Chat, Who
from assistant.screen.layout import Size, frame
from assistant.screen.terminal import Terminal
from assistant.screen.view import View, view_of
from assistant.session.effects import Show
from assistant.session.state import Setting, State, opening
from intents.lines import Lines

LOOK_ROUND = 1.0
"""Wall seconds after which the frame is painted anew whatever happened: the window may have another
size, and something else may have written into it."""

JUST_PAST = 0.01
"""Session seconds by which a change of the number is painted late rather than early."""

LEFT_BEHIND = 12
"""How much of the chat stays on the terminal when the screen goes."""


class FullScreen:
    """A `Screen` on a terminal. `prompt`: the athlete types, so the last row is theirs."""

    def __init__(self, terminal: Terminal, after: Captions, *, prompt: bool) -> None:
        self._terminal = terminal
        self._after = after
        self._prompt = prompt
        self._chat = Chat()
        self._lock = threading.Lock()
        self._changed = threading.Event()
        self._closing = False
        self._thread: threading.Thread | None = None
        self._lines: Lines | None = None
        self._shown = Show("")
        self._view = View("rest", "rest")
        self._parked: Size | None = None

    def begin(self, lines: Lines, setting: Setting, clock: SessionClock) -> None:
        with self._lock:
            self._lines, self._setting, self._clock = lines, setting, clock
            self._view = view_of(setting, opening(setting))
        self._terminal.enter()
        self._thread = threading.Thread(target=self._run, name="screen", daemon=True)
        self._thread.start()

    def coach(self, text: str) -> None:
        self._add("coach", text)

    def athlete(self, text: str) -> None:
        self._add("athlete", text)

    def note(self, text: str) -> None:
        self._add("note", text)

    def show(self, headline: str, until: float | None = None) -> None:
        with self._lock:
            self._shown = Show(headline, until)

    def see(self, state: State) -> None:
        with self._lock:
            self._view = view_of(self._setting, state, self._shown)
        self._changed.set()

    def typed(self, lines: Iterable[str]) -> Iterator[str]:
        for line in lines:
            with self._lock:
                self._parked = None
            self._changed.set()
            yield line

    def close(self) -> None:
        self._closing = True
        self._changed.set()
        if self._thread is not None:
            self._thread.join(2.0)
            self._terminal.leave()
        for said in self._chat.last(LEFT_BEHIND):
            getattr(self._after, said.who)(said.text)

    def _add(self, who: Who, text: str) -> None:
        with self._lock:
            self._chat.add(who, text)
        self._changed.set()

    def _run(self) -> None:
        while not self._closing:
            self._changed.clear()
            now = self._clock.now()
            self._paint(now)
            self._changed.wait(self._until_next(now))

    def _paint(self, now: float) -> None:
        size = self._terminal.size()
        with self._lock:
            assert self._lines is not None
            lines = frame(self._view, self._chat, self._lines, size, now, prompt=self._prompt)
            parks, self._parked = self._parked != size, size
        if parks:
            # A line was entered and has scrolled, or the window has another size now.
            self._terminal.park(size)
        self._terminal.paint(lines, size)

    def _until_next(self, now: float) -> float:
        """Wall seconds to the next change of the number."""
        until = self._view.until
        if until is None or until <= now:
            return LOOK_ROUND
        return min(LOOK_ROUND, self._clock.wait_for((until - now) % 1.0 + JUST_PAST))
