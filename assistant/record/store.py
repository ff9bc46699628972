"""The record: an append-only database of sessions, each a list of events and of facts.

Durable when it returns. Every append is one transaction, written to a log beside the database
(SQLite's WAL) and flushed to the disk (`synchronous=FULL`) before `append` returns: what was
acknowledged survives a killed program and a power cut. The cheaper `synchronous=NORMAL` survives
the first but may lose the last sets in the second, so it is not used; `tests/bench/record.py`
measures what that costs.

One program writes at a time and any number read. A store is used by one thread at a time.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Self
from zlib import crc32

from pydantic import ValidationError

from assistant.errors import RecordError
from assistant.record import codec
from assistant.record.files import Lock, connect, prepare
from assistant.record.header import SessionHeader
from assistant.record.place import default_path
from assistant.record.troubles import DamagedError, damaged_text, told
from assistant.session.events import Event
from assistant.session.facts import Fact, SessionEnded


@dataclass(frozen=True)
class SessionInfo:
    """A session on record; `ended` is how it ended, or None where it broke off or goes on."""

    id: int
    header: SessionHeader
    ended: SessionEnded | codec.Unknown | None


class Store:
    """The record, open. Every method raises RecordError, with one sentence for the user."""

    def __init__(self, path: Path, connection: sqlite3.Connection, lock: Lock | None) -> None:
        self.path = path
        self._connection = connection
        self._lock = lock

    @classmethod
    def open(cls, path: Path | str | None = None, *, read_only: bool = False) -> Self:
        """Open the record at `path` (by default `default_path()`), checked from end to end.

        To write, it is made where there is none, brought up to date where it is older, and kept
        for this program alone. A damaged file is never written to: a copy is laid beside it, and
        the error names both.
        """
        where = default_path() if path is None else Path(path)
        with told(where):
            lock = prepare(where, read_only=read_only)
            try:
                return cls(where, connect(where, read_only=read_only), lock)
            except BaseException:
                if lock is not None:
                    lock.release()
                raise

    def close(self) -> None:
        """Let go of the file. A closed store stays closed; closing it again does nothing."""
        with told(self.path):
            self._connection.close()
        if self._lock is not None:
            self._lock.release()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def begin(self, header: SessionHeader) -> int:
        """Put a new session on record and return its number."""
        body = header.model_dump_json()
        with self._transaction() as run:
            (last,) = run("SELECT coalesce(max(id), 0) FROM sessions").fetchone()
            session: int = last + 1
            run("INSERT INTO sessions VALUES (?, ?, ?)", (session, body, checksum(session, body)))
        return session

    def append(self, session: int, event: Event, facts: Sequence[Fact] = ()) -> None:
        """Put an event on record, with the facts that followed from it: all of it or nothing."""
        texts = [codec.encode(fact) for fact in facts]
        text = codec.encode(event)
        with self._transaction() as run:
            seq = self._next("events", session)
            row = (session, seq, text)
            run("INSERT INTO events VALUES (?, ?, ?, ?)", (*row, checksum(*row)))
            first = self._next("facts", session) if texts else 0
            for number, body in enumerate(texts, first):
                fact = (session, number, seq, body)
                run("INSERT INTO facts VALUES (?, ?, ?, ?, ?)", (*fact, checksum(*fact)))

    def sessions(self) -> list[SessionInfo]:
        """All sessions in the order in which they began, whatever the clock said."""
        with told(self.path):
            rows = self._connection.execute("SELECT id FROM sessions ORDER BY id").fetchall()
        return [SessionInfo(id, self.header(id), self._ended(id)) for (id,) in rows]

    def unfinished(self, athlete: str | None = None) -> int | None:
        """The last session (of this athlete, where one is named) if it has not ended.

        One that broke off before another was begun is past, and is not offered again.
        """
        with told(self.path):
            rows = self._connection.execute("SELECT id FROM sessions ORDER BY id DESC")
            for (session,) in rows:
                if athlete in (None, self.header(session).athlete):
                    return None if self._ended(session) else session
        return None

    def header(self, session: int) -> SessionHeader:
        """What was known when the session began."""
        with told(self.path):
            row = self._connection.execute(
                "SELECT id, body, crc FROM sessions WHERE id = ?", (session,)
            ).fetchone()
        if row is None:
            raise RecordError(
                f"there is no session {session} in the record {self.path}: "
                "choose one of those that it holds"
            )
        try:
            return SessionHeader.model_validate_json(self._sound(*row))
        except ValidationError as error:
            raise self._damaged(f"session {session} has a header that cannot be read") from error

    def events(self, session: int) -> list[Event]:
        """The events of a session in order; an error where a later cuewalk wrote one of them."""
        found: list[Event] = []
        for body in self._bodies("events", session):
            event = self._decoded(codec.decode_event, body, session)
            if isinstance(event, codec.Unknown):
                raise RecordError(
                    f"session {session} in the record {self.path} was written by a later cuewalk "
                    f"({event.kind}, version {event.version}): bring cuewalk up to date"
                )
            found.append(event)
        return found

    def facts(self, session: int) -> list[Fact]:
        """The facts of a session in order, without those that only a later cuewalk knows."""
        bodies = self._bodies("facts", session)
        decoded = [self._decoded(codec.decode_fact, body, session) for body in bodies]
        return [fact for fact in decoded if not isinstance(fact, codec.Unknown)]

    def raw_facts(self, session: int) -> list[str]:
        """The facts of a session as they are kept, each a JSON text, whoever wrote them."""
        return self._bodies("facts", session)

    def length(self, session: int) -> float:
        """Seconds that the session went on, without the time that the program was away."""
        with told(self.path):
            row = self._connection.execute(
                "SELECT * FROM events WHERE session = ? ORDER BY seq DESC LIMIT 1", (session,)
            ).fetchone()
        if row is None:
            self.header(session)
            return 0.0
        return float(json.loads(self._sound(*row)).get("at", 0.0))

    def _ended(self, session: int) -> SessionEnded | codec.Unknown | None:
        with told(self.path):
            row = self._connection.execute(
                "SELECT * FROM facts WHERE session = ? AND body GLOB ? ORDER BY seq LIMIT 1",
                (session, '{"kind":"SessionEnded",*'),
            ).fetchone()
        if row is None:
            return None
        found: SessionEnded | codec.Unknown = self._decoded(
            codec.decode_fact, self._sound(*row), session
        )
        return found

    def _decoded(self, decode: Any, body: str, session: int) -> Any:
        try:
            return decode(body)
        except codec.CodecError as error:
            raise self._damaged(f"session {session}: {error}") from error

    def _bodies(self, table: str, session: int) -> list[str]:
        with told(self.path):
            found = self._connection.execute(
                f"SELECT * FROM {table} WHERE session = ? ORDER BY seq", (session,)
            ).fetchall()
        if not found:
            self.header(session)
        for number, row in enumerate(found, 1):
            if row[1] != number:
                raise self._damaged(f"entry {number} of session {session} is missing")
        return [self._sound(*row) for row in found]

    def _sound(self, *row: Any) -> str:
        *entry, crc = row
        if crc != checksum(*entry):
            raise self._damaged(f"an entry of session {entry[0]} is not what was written")
        return str(entry[-1])

    def _damaged(self, how: str) -> RecordError:
        return DamagedError(damaged_text(self.path, how))

    def _next(self, table: str, session: int) -> int:
        row = self._connection.execute(
            f"SELECT coalesce(max(seq), 0) + 1 FROM {table} WHERE session = ?", (session,)
        ).fetchone()
        return int(row[0])

    @contextmanager
    def _transaction(self) -> Iterator[Any]:
        if self._lock is None:
            raise RecordError(f"the record {self.path} was opened for reading only: open it anew")
        connection = self._connection
        with told(self.path):
            try:
                connection.execute("BEGIN IMMEDIATE")
                yield connection.execute
                connection.execute("COMMIT")
            except BaseException:
                if connection.in_transaction:
                    connection.execute("ROLLBACK")
                raise


def checksum(*entry: object) -> int:
    """CRC-32 over an entry's place and body: what it is must be what was written."""
    return crc32("\n".join(map(str, entry)).encode())
