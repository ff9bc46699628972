"""What a session shows: the one boundary between it and a terminal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Protocol

from assistant.clock import SessionClock
from assistant.session.state import Setting, State
from intents.lines import Lines


class Screen(Protocol):
    """Takes what was said and where the session is. Called from any thread; never raises.

    A screen that has gone away (a closed pipe, a lost terminal) is no error: training goes on.
    """

    def begin(self, lines: Lines, setting: Setting, clock: SessionClock) -> None:
        """The session starts now; what counts down is shown by this clock."""

    def coach(self, text: str) -> None: ...

    def athlete(self, text: str) -> None: ...

    def note(self, text: str) -> None:
        """Something about the session that is not said aloud."""

    def show(self, headline: str, until: float | None = None) -> None:
        """The session's own headline, as in its effect `Show`."""

    def see(self, state: State) -> None:
        """The session has come to this state."""

    def typed(self, lines: Iterable[str]) -> Iterator[str]:
        """Lines as the athlete types them: the screen keeps its place while they are read."""

    def close(self) -> None:
        """The session is over, or broke off: leave the terminal as it was."""
