"""What can go wrong with the record, each as one sentence that names the file and the mend."""

from __future__ import annotations

import errno
import shlex
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from assistant.errors import RecordError
from assistant.record.columns import clean


class DamagedError(RecordError):
    """The file is not what was written to it."""


class NoRecordError(RecordError):
    """Nothing has been put on record yet."""


class InUseError(RecordError):
    """Another cuewalk writes to the record."""


@contextmanager
def told(path: Path) -> Iterator[None]:
    """Turn what SQLite and the system raise about `path` into a RecordError."""
    try:
        yield
    except sqlite3.Error as error:
        raise _of_sqlite(error, path) from error
    except UnicodeDecodeError as error:
        raise DamagedError(damaged_text(path, "a name in it is no text")) from error
    except OSError as error:
        raise of_system(error, path) from error


def _of_sqlite(error: sqlite3.Error, path: Path) -> RecordError:
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    if code == sqlite3.SQLITE_FULL:
        return _full(path)
    if code == sqlite3.SQLITE_IOERR:
        return RecordError(
            f"the record {path} cannot be written or read ({clean(str(error))}): look whether "
            "the disk is full or failing; what was logged before is safe"
        )
    if code in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM):
        return _closed(path)
    if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return RecordError(
            f"the record {path} is locked by another program: close what has it open and try again"
        )
    if code in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
        return DamagedError(damaged_text(path, str(error)))
    return RecordError(
        f"the record {path} cannot be used: {clean(str(error))}; start cuewalk again"
    )


def of_system(error: OSError, path: Path) -> RecordError:
    """The RecordError for what the operating system refused."""
    if error.errno in (errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC), errno.EFBIG):
        return _full(path)
    if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return _closed(path)
    reason = error.strerror or str(error)
    return RecordError(
        f"the record {path} cannot be used ({reason}): choose another folder with CUEWALK_HOME"
    )


def damaged_text(path: Path, how: str) -> str:
    """What is wrong, and the mend; the file itself is left as it is."""
    command = f"cuewalk mend {shlex.quote(str(path))}"
    return (
        f"the record {path} is damaged ({clean(how)}): put a backup in its place and take away "
        f"the file beside it that ends in -wal, or save what can still be read with `{command}`"
    )


def _full(path: Path) -> RecordError:
    return RecordError(
        f"the disk is full, so the record {path} cannot grow: free some space and go on; "
        "what was logged before is safe"
    )


def _closed(path: Path) -> RecordError:
    return RecordError(
        f"the record {path} may not be written: give yourself the right to write to its folder, "
        "or choose another folder with CUEWALK_HOME"
    )
