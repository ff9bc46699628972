"""Plain captions: one line for everything said, on any terminal or pipe."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from typing import TextIO

from assistant.clock import SessionClock
from assistant.session.state import Setting, State
from intents.lines import Lines


class Captions:
    """Writes `coach:` and `athlete:` lines. A reader that has gone away is no error.

    `echo` is False where the athlete types: the terminal shows that already. `headlines` adds a
    line such as `[rest]` where the state changes, which nobody needs who reads along in a pipe.
    """

    def __init__(
        self, out: TextIO | None = None, *, echo: bool = True, headlines: bool = False
    ) -> None:
        self._out = out if out is not None else sys.stdout
        self._open = True
        self._echo = echo
        self._headlines = headlines
        self._words: Lines | None = None
        self._shown = ""

    def begin(self, lines: Lines, setting: Setting, clock: SessionClock) -> None:
        self._words = lines

    def coach(self, text: str) -> None:
        self.line(f"coach: {text}")

    def athlete(self, text: str) -> None:
        if self._echo:
            self.line(f"athlete: {text}")

    def note(self, text: str) -> None:
        """Something about the session that is not said aloud."""
        self.line(f"note: {text}")

    def show(self, headline: str, until: float | None = None) -> None:
        if not self._headlines or headline == self._shown:
            return
        self._shown = headline
        words = self._words.words if self._words is not None else {}
        self.line(f"[{words.get(f'shown_{headline}', headline.replace('_', ' '))}]")

    def see(self, state: State) -> None:
        """Lines tell what was said; where the session is shows in them."""

    def typed(self, lines: Iterable[str]) -> Iterator[str]:
        yield from lines

    def close(self) -> None:
        """Nothing to put back."""

    def line(self, text: str) -> None:
        if not self._open:
            return
        try:
            print(text, file=self._out, flush=True)
        except (BrokenPipeError, ValueError):
            # Training and recording go on without a reader.
            self._open = False
