"""How long a silence ends an utterance: that depends on what was said so far.

"Stop" is whole, so a short silence is enough; "log thirty" may go on with "eight seconds", and
"log" alone is no phrase at all: there the speaker gets time to think.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from assistant.hearing.graph import Graph

LONGEST: Final = 12.0
"""Seconds after which an utterance is cut off: no command is that long, other speech is."""

MANY: Final = 8
"""Words that can follow where a number or a list goes on."""


@dataclass(frozen=True)
class Patience:
    """Seconds of silence that end an utterance.

    >>> graph = Graph.parse("START_STATE 0\\nFINAL_STATE 1\\nTRANSITION 0 1 1.0 stop")
    >>> Patience().over(graph, ("stop",), 0.25), Patience().over(graph, (), 0.25)
    (True, False)
    """

    whole: float = 0.20
    """The text is a phrase, and no longer phrase begins with it."""
    may_go_on: float = 0.28
    """The text is a phrase, and a few words can follow: "start", "start over". Between the words of
    a phrase there is hardly ever a pause this long."""
    listing: float = 0.45
    """The text is a phrase of several words, and many can follow, as in numbers and lists: "log
    thirty". Behind one word alone ("yes", "easier") many may follow too, but hardly ever after a
    pause."""
    broken: float = 0.60
    """The text is no phrase, or no phrase yet."""

    def over(
        self,
        graph: Graph,
        text: tuple[str, ...],
        silence: float,
        tail: frozenset[str] = frozenset(),
    ) -> bool:
        """Whether a silence of this length, after this text, ends the utterance.

        `tail` are words that may end any phrase ("please"): nobody waits for them.
        """
        if silence < self.whole:
            return False
        if not graph.accepts(text):
            return silence >= self.broken
        following = len(graph.next_words(text) - tail)
        if following >= MANY and len(text) > 1:
            return silence >= self.listing
        return silence >= (self.may_go_on if following else self.whole)
