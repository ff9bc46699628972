"""`cuewalk mend`: what can still be read of a damaged record, in a new one in its place."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from assistant.counted import counted
from assistant.record.mend import Mended
from assistant.record.mend import mend as mend_record
from assistant.record.place import default_path
from assistant.record.store import Store


def mend(
    record: Annotated[
        Path | None,
        typer.Argument(metavar="FILE", help="The file of the record; else your own."),
    ] = None,
) -> None:
    """Save what can still be read of a damaged record.

    The damaged file is kept beside it.

    Example: cuewalk mend
    """
    path = record if record is not None else default_path()
    mended = mend_record(path)
    if mended is None:
        typer.echo(f"The record {path} is whole: nothing was done.")
    else:
        typer.echo(told(mended, path))


def told(mended: Mended, path: Path) -> str:
    """What was saved, with the numbers that the sessions have in the log."""
    with Store.open(path, read_only=True) as store:
        numbers = [str(info.id) for info in store.sessions()]
    which = f" (number {', '.join(numbers)})" if 0 < len(numbers) <= 20 else ""
    return (
        f"Saved {counted(mended.sessions, 'session')}{which} with "
        f"{counted(mended.events, 'event')} and {counted(mended.facts, 'line')} of the log; the "
        f"damaged file is kept at {mended.kept}. See them with: cuewalk log"
    )
