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

    `words` are those of the language, where they are known before the session begins.
    `echo` is False where the athlete types: the terminal shows that already. `headlines` adds a
    line such as `[rest]` where the state changes, which nobody needs who reads along in a pipe.
    """

    def __init__(
        self,
        out: TextIO | None = None,
        *,
        echo: bool = True,
        headlines: bool = False,
        words: Lines | None = None,
    ) -> None:
        self._out = out if out is not None else sys.stdout
        self._open = True
        self._echo = echo
        self._headlines = headlines
        self._words = words
        self._shown = ""

    def begin(self, lines: Lines, setting: Setting, clock: SessionClock) -> None:
        self._words = lines

    def coach(self, text: str) -> None:
        self._says("coach", text)

    def athlete(self, text: str) -> None:
        if self._echo:
            self._says("athlete", text)

    def note(self, text: str) -> None:
        """Something about the session that is not said aloud."""
        self._says("note", text)

    def show(self, headline: str, until: float | None = None) -> None:
        if not self._headlines or headline == self._shown:
            return
        self._shown = headline
        self.line(f"[{self._word(f'headline_{headline}', headline)}]")

    def see(self, state: State) -> None:
        """Lines tell what was said; where the session is shows in them."""

    def typed(self, lines: Iterable[str]) -> Iterator[str]:
        yield from lines

    def close(self) -> None:
        """Nothing to put back."""

    def _says(self, who: str, text: str) -> None:
        self.line(f"{self._word(f'who_{who}', who)}: {text}")

    def _word(self, key: str, otherwise: str) -> str:
        """The language's word; before the session begins there is no language yet."""
        return self._words.word(key) if self._words is not None else otherwise.replace("_", " ")

    def line(self, text: str) -> None:
        if not self._open:
            return
        try:
            print(text, file=self._out, flush=True)
        except (BrokenPipeError, ValueError):
            # Training and recording go on without a reader.
            self._open = False
