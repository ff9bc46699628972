"""Takes what can still be read out of a damaged record into a new one."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from assistant.errors import RecordError
from assistant.record import codec
from assistant.record.files import Lock, beside, checked_version, connect, lay_aside, make
from assistant.record.store import Store, checksum
from assistant.record.troubles import DamagedError, NoRecordError, told
from assistant.session.events import Started

Row = tuple[Any, ...]
_GAP = 2000
"""How many entries in a row may be unreadable before the rest of a session is given up."""


@dataclass(frozen=True)
class Mended:
    """Where the damaged file is kept, and how many entries of each kind were saved from it."""

    kept: Path
    sessions: int
    events: int
    facts: int


def mend(record: Path) -> Mended | None:
    """Put a new record in the damaged one's place, with every entry that is still as written.

    None where the record is whole. The damaged file is kept beside it under another name. Where
    entries are gone, those after them move up. Raises RecordError: in use, not there, of another
    program, or no room to write.
    """
    with told(record):
        if not record.exists():
            raise NoRecordError(f"there is no record at {record}: name the one to mend")
        lock = Lock(record)
        try:
            if _is_whole(record):
                return None
            kept, draft = lay_aside(record), beside(record, ".mended")
            make(draft)
            try:
                saved = _carry_over(kept, draft)
                if not saved.sessions:
                    raise _hopeless(record)
                for ending in ("-wal", "-shm"):
                    beside(record, ending).unlink(missing_ok=True)
                draft.replace(record)
            except BaseException:
                draft.unlink(missing_ok=True)
                raise
            return saved
        finally:
            lock.release()


def _hopeless(record: Path) -> RecordError:
    return RecordError(
        f"the record {record} is damaged and nothing in it can be read: put a backup in its "
        "place, or move it away to begin a new one"
    )


def _is_whole(record: Path) -> bool:
    try:
        checked_version(record)
        with Store.open(record, read_only=True) as store:
            for info in store.sessions():
                store.events(info.id)
                store.facts(info.id)
    except DamagedError:
        return False
    return True


def _carry_over(kept: Path, draft: Path) -> Mended:
    events, facts, sessions = 0, 0, 0
    try:
        old = connect(kept, read_only=True)
    except sqlite3.DatabaseError:
        return Mended(kept, 0, 0, 0)
    with closing(old), closing(connect(draft, read_only=False)) as new:
        new.execute("BEGIN IMMEDIATE")
        for session, body in _sound(old, "SELECT * FROM sessions WHERE id >= ? ORDER BY id", ()):
            _put(new, "sessions", session, body)
            sessions += 1
            query = "SELECT * FROM {} WHERE session = ? AND seq >= ? ORDER BY seq"
            moved: list[tuple[int, int]] = []
            for _, seq, text in _sound(old, query.format("events"), (session,)):
                moved.append((seq, len(moved) + 1))
                _put(new, "events", session, len(moved), text)
            events += len(moved)
            for number, (_, _, cause, text) in enumerate(
                _sound(old, query.format("facts"), (session,)), 1
            ):
                if not moved:
                    # A fact has to follow from an event, and every session began with this one.
                    moved.append((0, 1))
                    _put(new, "events", session, 1, codec.encode(Started(0.0)))
                before = [to for seq, to in moved if seq <= cause]
                _put(new, "facts", session, number, before[-1] if before else 1, text)
                facts += 1
        new.execute("COMMIT")
    return Mended(kept, sessions, events, facts)


def _put(new: sqlite3.Connection, table: str, *entry: object) -> None:
    marks = ", ".join("?" * (len(entry) + 1))
    new.execute(f"INSERT INTO {table} VALUES ({marks})", (*entry, checksum(*entry)))


def _sound(
    old: sqlite3.Connection, query: str, owner: tuple[int, ...]
) -> Iterator[tuple[Any, ...]]:
    """Rows that are as written. Past a page that cannot be read, each number is tried by itself."""
    number, missed = 1, 0
    while missed < _GAP:
        try:
            for *entry, crc in old.execute(query, (*owner, number)):
                place = len(owner)
                number, missed = entry[place] + 1, 0
                if crc == checksum(*entry):
                    yield tuple(entry)
            return
        except (sqlite3.DatabaseError, TypeError):
            number, missed = number + 1, missed + 1
