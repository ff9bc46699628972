"""The record's file: made whole, locked for one writer, checked, and brought up to date."""

from __future__ import annotations

import errno
import os
import sqlite3
from contextlib import closing
from hashlib import sha256
from importlib import resources
from pathlib import Path
from shutil import copyfile

from assistant.errors import RecordError
from assistant.record.place import make_folder
from assistant.record.troubles import DamagedError, InUseError, NoRecordError, damaged_text

APPLICATION = 0x63756577
"""Marks the file as ours, in the field that SQLite keeps for that."""

STEPS = ("schema.sql",)
"""The scripts that lead from an empty file to today's schema; version n is after the nth."""

WAIT = 2.0
"""Seconds to wait for another program that is reading or tidying up the file."""


class Lock:
    """The right to write, held by one program at a time and freed by the system if it dies.

    It is an exclusive lock on a small file beside the record, which SQLite takes and keeps in
    the way of each platform. The record's own file stays free for readers.
    """

    def __init__(self, record: Path) -> None:
        path = beside(record, ".lock")
        # Made only where there is none: closing a file frees the locks that this process has on it.
        if not path.exists():
            os.close(os.open(path, os.O_CREAT | os.O_RDWR, 0o600))
        self._file = sqlite3.connect(path, timeout=0, isolation_level=None, check_same_thread=False)
        try:
            self._file.execute("PRAGMA journal_mode = OFF")
            self._file.execute("BEGIN EXCLUSIVE")
        except sqlite3.OperationalError as error:
            self._file.close()
            if error.sqlite_errorcode & 0xFF == sqlite3.SQLITE_BUSY:
                raise InUseError(
                    f"another cuewalk is training and writes to the record {record}: "
                    "finish that session or close it first"
                ) from error
            raise

    def release(self) -> None:
        self._file.close()


def beside(record: Path, ending: str) -> Path:
    """A file that belongs to the record: the same place and name, another ending."""
    return record.with_name(record.name + ending)


def prepare(record: Path, *, read_only: bool) -> Lock | None:
    """See to it that the file is whole and of today's version; return the lock of a writer."""
    if read_only:
        if not record.exists():
            raise NoRecordError(f"there is no record at {record} yet: train once, and it is there")
        if checked_version(record) < len(STEPS):
            lock = Lock(record)
            try:
                _bring_up_to_date(record)
            finally:
                lock.release()
        return None
    make_folder(record.parent)
    lock = Lock(record)
    try:
        if not record.exists():
            make(record)
        elif checked_version(record) < len(STEPS):
            _bring_up_to_date(record)
    except BaseException:
        lock.release()
        raise
    return lock


def connect(record: Path, *, read_only: bool) -> sqlite3.Connection:
    """A connection with the settings that the record relies on."""
    if read_only:
        try:
            return _open(record, "mode=ro", "PRAGMA schema_version")
        except sqlite3.OperationalError as error:
            # In a folder that may not be written, SQLite cannot make the file by which readers
            # and writer keep out of each other's way. With no writer's log there, none is needed.
            if error.sqlite_errorcode & 0xFF not in _MAY_NOT_WRITE or _has_log(record):
                raise
            return _open(record, "mode=ro&immutable=1", "PRAGMA schema_version")
    if not os.access(record, os.W_OK):
        # SQLite would open it all the same, and fail at the first append.
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
    return _open(
        record,
        "mode=rw",
        "PRAGMA synchronous = FULL",
        "PRAGMA fullfsync = ON",
        "PRAGMA checkpoint_fullfsync = ON",
        "PRAGMA foreign_keys = ON",
    )


_MAY_NOT_WRITE = (sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_READONLY)


def _has_log(record: Path) -> bool:
    log = beside(record, "-wal")
    return log.exists() and log.stat().st_size > 0


def _open(record: Path, how: str, *first: str) -> sqlite3.Connection:
    connection = sqlite3.connect(
        f"{record.absolute().as_uri()}?{how}",
        uri=True,
        timeout=WAIT,
        isolation_level=None,
        check_same_thread=False,
    )
    # A byte that no text may hold is for the checksum to find.
    connection.text_factory = lambda raw: raw.decode("utf-8", "replace")
    try:
        for statement in first:
            connection.execute(statement).close()
    except BaseException:
        connection.close()
        raise
    return connection


def make(record: Path) -> None:
    """Build the file under another name, so that it is there whole or not at all."""
    _clear_the_place(record)
    draft = beside(record, ".new")
    for ending in ("", "-journal", "-wal", "-shm"):
        beside(draft, ending).unlink(missing_ok=True)
    os.close(os.open(draft, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
    try:
        with closing(connect(draft, read_only=False)) as connection:
            connection.execute(f"PRAGMA application_id = {APPLICATION}")
            _climb(connection, 0)
            connection.execute("PRAGMA journal_mode = WAL")
        os.rename(draft, record)
    except BaseException:
        draft.unlink(missing_ok=True)
        raise
    _flush_folder(record.parent)


def _clear_the_place(record: Path) -> None:
    """Put away the log of a record that is gone: SQLite would take it for that of the new one."""
    log = beside(record, "-wal")
    if _has_log(record):
        log.rename(beside(record, f".left-{_digest(log)}-wal"))
    for ending in ("-wal", "-shm", "-journal"):
        beside(record, ending).unlink(missing_ok=True)


def _digest(file: Path) -> str:
    return sha256(file.read_bytes()).hexdigest()[:8]


def _flush_folder(folder: Path) -> None:
    if os.name == "posix":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _bring_up_to_date(record: Path) -> None:
    with closing(connect(record, read_only=False)) as connection:
        (version,) = connection.execute("PRAGMA user_version").fetchone()
        _climb(connection, version)


def _climb(connection: sqlite3.Connection, version: int, to: int | None = None) -> None:
    for number, script in enumerate(STEPS[version:to], version + 1):
        text = _text(script)
        done = f"PRAGMA user_version = {number}; COMMIT;"
        connection.executescript(f"BEGIN IMMEDIATE;\n{text}\n{done}")


def _text(script: str) -> str:
    return (resources.files("assistant.record") / script).read_text("utf-8")


def checked_version(record: Path) -> int:
    """The file's schema version, once it is known to be whole and ours. Nothing is written."""
    try:
        with closing(connect(record, read_only=True)) as connection:
            problem = _problem(connection)
            (version,) = connection.execute("PRAGMA user_version").fetchone()
            (mark,) = connection.execute("PRAGMA application_id").fetchone()
            if problem is None and mark == APPLICATION and version <= len(STEPS):
                problem = _foreign(connection, version)
    except sqlite3.DatabaseError as error:
        if error.sqlite_errorcode & 0xFF in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
            raise _damaged(record, str(error)) from error
        raise
    except UnicodeDecodeError as error:
        raise _damaged(record, "a name in it is no text") from error
    if problem is not None:
        raise _damaged(record, problem)
    if mark != APPLICATION:
        raise RecordError(
            f"{record} is a database of another program: move it away, or choose another folder "
            "with CUEWALK_HOME"
        )
    if version > len(STEPS):
        raise RecordError(
            f"the record {record} was written by a later cuewalk (version {version}, this one "
            f"knows up to {len(STEPS)}): bring cuewalk up to date"
        )
    return int(version)


def _problem(connection: sqlite3.Connection) -> str | None:
    """What is wrong with the file as a database."""
    ((found,),) = connection.execute("PRAGMA integrity_check(1)").fetchall()
    if found != "ok":
        return " ".join(found.split())
    return None if _schema(connection) else "it is empty"


def _foreign(connection: sqlite3.Connection, version: int) -> str | None:
    """What is wrong with the database as a record: other tables, or entries of no session."""
    with closing(sqlite3.connect(":memory:")) as model:
        _climb(model, 0, version)
        if _schema(connection) != _schema(model):
            return "its tables are not those that cuewalk made"
    strays = _strays(connection)
    return f"it holds entries of a session {strays[0]} that never began" if strays else None


def _strays(connection: sqlite3.Connection) -> list[int]:
    """Numbers of sessions that have entries and no header: past the last one, or in a gap."""
    ids = {id for (id,) in connection.execute("SELECT id FROM sessions")}
    found: list[int] = []
    for table in ("events", "facts"):
        last = connection.execute(f"SELECT max(session) FROM {table}").fetchone()
        gaps = set(range(1, max(ids, default=1))) - ids
        for session in {*last, *gaps} - ids - {None}:
            some = f"SELECT 1 FROM {table} WHERE session = ? LIMIT 1"
            found += [session] if connection.execute(some, (session,)).fetchone() else []
    return found


def _schema(connection: sqlite3.Connection) -> list[tuple[str, str]]:
    rows = connection.execute("SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL")
    return sorted(row for row in rows if not row[0].startswith("sqlite_"))


def lay_aside(record: Path) -> Path:
    """Copy the file beside itself, once for each state it is in, and return the copy."""
    copy = beside(record, f".damaged-{_digest(record)}")
    for ending in ("-wal", "") if _has_log(record) else ("",):
        source, target = beside(record, ending), beside(copy, ending)
        if not target.exists():
            draft = beside(copy, ".new")
            copyfile(source, draft)
            draft.chmod(0o600)
            draft.rename(target)
    return copy


def _damaged(record: Path, how: str) -> DamagedError:
    try:
        kept = f"a copy is kept at {lay_aside(record)}"
    except OSError as error:
        kept = f"a copy could not be kept: {error.strerror}"
    return DamagedError(damaged_text(record, f"{how}; {kept}"))
