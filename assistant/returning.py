"""After "I feel dizzy": no more training on that day, unless it is chosen at the keyboard.

Whoever was unwell should be seen to, or at least rest; a voice that says "start" is no decision.
The choice is asked for at every start of the program on that day, and goes on record with the
session that follows.
"""

from __future__ import annotations

from datetime import datetime
from typing import TextIO

from assistant.errors import InputError
from assistant.record.cautioned import unwell_on
from assistant.record.store import Store
from intents.lines import Line, Lines

NOT_CHOSEN = (
    "You were unwell in a session today, so training again today has to be chosen at the keyboard, "
    "once a coach or a clinician has agreed: run cuewalk train in a terminal and answer there."
)


def return_choice(
    store: Store, athlete: str, lines: Lines, now: datetime, source: TextIO, out: TextIO
) -> bool | None:
    """Whether the athlete chooses to train again today; None where there is nothing to choose.

    Raises InputError where nobody sits at a keyboard.
    """
    if not unwell_on(store, athlete, now.date().toordinal()):
        return None
    if not source.isatty():
        raise InputError(NOT_CHOSEN)
    print(lines.render(Line("returning.ask", {"word": "returning_word"})), file=out)
    print("> ", end="", file=out, flush=True)
    chosen = source.readline().strip().casefold() == lines.word("returning_word").casefold()
    if not chosen:
        print(lines.render(Line("returning.left")), file=out)
    return chosen
