"""A disk that is full, or may not be written: an error to read, and nothing lost."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from assistant.errors import RecordError
from assistant.record.header import SessionHeader
from assistant.record.store import Store
from assistant.session.events import Event
from assistant.session.facts import Fact

resource = pytest.importorskip("resource", reason="limits of this kind are POSIX's")

Header = Callable[..., SessionHeader]
Entry = Callable[[int], tuple[Event, list[Fact]]]
InChild = Callable[[Callable[[], Any]], Any]

FULL = "the disk is full, so the record .* cannot grow: free some space"


def _fill(store: Store, session: int, entry: Entry) -> tuple[int, str]:
    """Append until there is an error; return how many were kept, and the error's text."""
    for number in range(len(store.events(session)) + 1, 100_000):
        try:
            store.append(session, *entry(number))
        except RecordError as error:
            return number - 1, str(error)
    raise AssertionError("the disk never was full")


def _agrees(store: Store, session: int, kept: int, entry: Entry) -> bool:
    entries = [entry(number) for number in range(1, kept + 1)]
    return store.events(session) == [event for event, _ in entries] and store.facts(session) == [
        fact for _, facts in entries for fact in facts
    ]


def test_no_more_pages(path: Path, header: Header, entry: Entry) -> None:
    with Store.open(path) as store:
        session = store.begin(header())
        store._connection.execute("PRAGMA max_page_count = 40")
        kept, text = _fill(store, session, entry)
        assert kept > 50
        with pytest.raises(RecordError, match=FULL):
            store.append(session, *entry(kept + 1))
        assert _agrees(store, session, kept, entry), text
        store._connection.execute("PRAGMA max_page_count = 80")
        store.append(session, *entry(kept + 1))
        assert _agrees(store, session, kept + 1, entry)


def test_a_limit_on_the_size_of_files(
    path: Path, header: Header, entry: Entry, in_child: InChild
) -> None:
    def work() -> tuple[int, str, bool, bool]:
        with Store.open(path) as store:
            session = store.begin(header())
            _, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
            resource.setrlimit(resource.RLIMIT_FSIZE, (300_000, hard))
            kept, text = _fill(store, session, entry)
            whole = _agrees(store, session, kept, entry)
            resource.setrlimit(resource.RLIMIT_FSIZE, (hard, hard))
            store.append(session, *entry(kept + 1))
            return kept, text, whole, _agrees(store, session, kept + 1, entry)

    kept, text, whole, goes_on = in_child(work)
    assert kept > 10
    assert "disk" in text
    assert whole
    assert goes_on
    with Store.open(path) as store:
        assert _agrees(store, 1, kept + 1, entry)


def _mount(folder: Path, options: str) -> None:
    """Mount a small file system of its own, seen by this process alone."""
    if os.geteuid() != 0 or shutil.which("mount") is None or not hasattr(os, "fork"):
        raise PermissionError
    import ctypes

    if ctypes.CDLL(None, use_errno=True).unshare(0x00020000) != 0:  # CLONE_NEWNS
        raise PermissionError
    for command in (
        ["mount", "--make-rprivate", "/"],
        ["mount", "-t", "tmpfs", "-o", options, "tmpfs", str(folder)],
    ):
        if subprocess.run(command, capture_output=True, check=False).returncode:
            raise PermissionError


def test_a_disk_that_fills_up(
    tmp_path: Path, header: Header, entry: Entry, in_child: InChild
) -> None:
    def work() -> list[object] | None:
        try:
            _mount(tmp_path, "size=600k")
        except PermissionError:
            return None
        filler = tmp_path / "filler"
        filler.write_bytes(b"x" * 100_000)
        record = tmp_path / "record.db"
        with Store.open(record) as store:
            session = store.begin(header())
            kept, text = _fill(store, session, entry)
            seen: list[object] = [kept, text, _agrees(store, session, kept, entry)]
            filler.unlink()
            store.append(session, *entry(kept + 1))
        with Store.open(record) as store:
            return [*seen, _agrees(store, session, kept + 1, entry)]

    outcome = in_child(work)
    if outcome is None:
        pytest.skip("no disk of its own may be mounted here")
    kept, text, whole, goes_on = outcome
    assert kept > 10
    assert "the disk is full" in text
    assert whole
    assert goes_on


def test_no_room_for_a_new_record(tmp_path: Path, in_child: InChild) -> None:
    def work() -> list[object] | None:
        try:
            _mount(tmp_path, "size=16k")
        except PermissionError:
            return None
        try:
            Store.open(tmp_path / "record.db")
        except RecordError as error:
            return [str(error), [file.name for file in tmp_path.iterdir()]]
        return ["no error", []]

    outcome = in_child(work)
    if outcome is None:
        pytest.skip("no disk of its own may be mounted here")
    text, left = outcome
    assert "the disk is full" in text
    assert "record.db" not in left


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that every user can get to, unlike a test's own."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o755)
    yield folder
    folder.chmod(0o755)
    shutil.rmtree(folder)


def _as_nobody() -> None:
    if os.geteuid() == 0:
        os.setgid(65534)
        os.setuid(65534)


def _error_of(path: Path, *, read_only: bool) -> str:
    _as_nobody()
    try:
        Store.open(path, read_only=read_only).close()
    except RecordError as error:
        return str(error)
    return "no error"


MAY_NOT = "may not be written: give yourself the right to write to its folder"


def test_a_folder_that_may_not_be_written(open_folder: Path, in_child: InChild) -> None:
    open_folder.chmod(0o555)
    for path in (open_folder / "record.db", open_folder / "new" / "record.db"):
        assert MAY_NOT in in_child(lambda path=path: _error_of(path, read_only=False))
    assert list(open_folder.iterdir()) == []


def test_a_record_that_may_only_be_read(
    open_folder: Path, header: Header, entry: Entry, in_child: InChild
) -> None:
    path = open_folder / "record.db"
    with Store.open(path) as store:
        session = store.begin(header())
        store.append(session, *entry(1))
    for file in open_folder.iterdir():
        file.chmod(0o444)
    open_folder.chmod(0o555)
    assert MAY_NOT in in_child(lambda: _error_of(path, read_only=False))

    def read() -> bool:
        _as_nobody()
        with Store.open(path, read_only=True) as store:
            return _agrees(store, session, 1, entry)

    assert in_child(read)


def test_a_file_that_may_only_be_read_in_a_folder_that_may_be_written(
    open_folder: Path, in_child: InChild
) -> None:
    path = open_folder / "record.db"
    Store.open(path).close()
    (open_folder / "record.db.lock").unlink()
    path.chmod(0o444)
    open_folder.chmod(0o777)
    assert MAY_NOT in in_child(lambda: _error_of(path, read_only=False))


def test_a_record_in_a_file_for_a_folder(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(RecordError, match="cannot be used"):
        Store.open(tmp_path / "file" / "record.db")


def test_a_folder_for_a_record(tmp_path: Path) -> None:
    with pytest.raises(RecordError):
        Store.open(tmp_path)
    with pytest.raises(RecordError):
        Store.open(tmp_path, read_only=True)
