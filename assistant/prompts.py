"""What a session is likely to say, rendered before it begins, with a bar that shows how far it is.

A session's lines follow from its setting, so a rehearsal of it says nearly all that the session
itself will say, in the same words. What else comes up is rendered when it is needed.
"""

from __future__ import annotations

import time
from typing import Protocol, TextIO

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn

from assistant.athletes import steady
from assistant.coach import Coach
from assistant.rehearsal import rehearse
from assistant.session.state import Setting

LOOK = 0.05
"""Seconds between two looks at how far it is."""

SHOWN_AFTER = 0.5
"""Seconds after which the wait is long enough to be worth a bar."""


class Ahead(Protocol):
    """A voice that renders ahead; `ahead` is how many lines it still has to do."""

    @property
    def ahead(self) -> int: ...


def prompts(setting: Setting, coach: Coach) -> tuple[str, ...]:
    """The lines of a session with an athlete who does as told, in order, each once."""
    done = rehearse(setting, steady, coach.render, coach.understand)
    said = sorted(done.speech, key=lambda spoken: spoken.began)
    return tuple(dict.fromkeys(spoken.text for spoken in said))


def wait_with_bar(voice: Ahead, label: str, out: TextIO) -> None:
    """Wait until all is rendered; on a terminal, a bar shows how far it is and goes away then.

    Where nobody looks (a pipe, a file) nothing is written. Ctrl-C ends the wait as ever.
    """
    total, began = voice.ahead, time.monotonic()
    while voice.ahead and time.monotonic() - began < SHOWN_AFTER:
        time.sleep(LOOK)
    if not voice.ahead:
        return
    console = Console(file=out)
    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn())
    with Progress(
        *columns, console=console, transient=True, disable=not console.is_terminal
    ) as bar:
        task = bar.add_task(label, total=total)
        while left := voice.ahead:
            bar.update(task, completed=total - left)
            time.sleep(LOOK)
