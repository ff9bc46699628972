"""The file itself: one writer, whole or refused, and brought up to date."""

from __future__ import annotations

import contextlib
import os
import random
import re
import shutil
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from hashlib import sha256
from pathlib import Path

import pytest

from assistant.errors import RecordError
from assistant.record import files
from assistant.record.header import SessionHeader
from assistant.record.store import Store
from assistant.record.troubles import DamagedError, InUseError
from assistant.session.events import Event
from assistant.session.facts import Fact

Header = Callable[..., SessionHeader]
Entry = Callable[[int], tuple[Event, list[Fact]]]


def _train(path: Path, header: Header, entry: Entry, sessions: int = 3, entries: int = 80) -> None:
    with Store.open(path) as store:
        store._connection.execute("PRAGMA synchronous = OFF")
        for _ in range(sessions):
            session = store.begin(header())
            for number in range(1, entries + 1):
                store.append(session, *entry(number))


def _everything(path: Path) -> list[object]:
    with Store.open(path, read_only=True) as store:
        return [
            (info, store.events(info.id), store.facts(info.id), store.length(info.id))
            for info in store.sessions()
        ]


def _digest(path: Path) -> str:
    return sha256(path.read_bytes()).hexdigest()


SECOND = """
import sys
from assistant.errors import RecordError
from assistant.record.store import Store

try:
    Store.open(sys.argv[1])
except RecordError as error:
    print(type(error).__name__, error)
with Store.open(sys.argv[1], read_only=True) as reader:
    print(len(reader.events(1)))
"""


def test_a_second_writer_is_told_and_a_reader_let_in(
    path: Path, header: Header, entry: Entry
) -> None:
    def second() -> list[str]:
        # A program of its own: a forked child would share what SQLite knows of this one's locks.
        command = [sys.executable, "-c", SECOND, str(path)]
        done = subprocess.run(command, capture_output=True, text=True, check=True)
        return done.stdout.splitlines()

    told = f"InUseError another cuewalk is training and writes to the record {path}: "
    with Store.open(path) as store:
        store.begin(header())
        store.append(1, *entry(1))
        said, events = second()
        assert said.startswith(told)
        assert events == "1"
        with pytest.raises(InUseError):
            Store.open(path)
        # The tries of others, and one's own, have not taken the right away from the first.
        store.append(1, *entry(2))
        assert second()[1] == "2"
    assert second() == ["2"]


def test_a_killed_writer_is_in_nobodys_way(path: Path, header: Header) -> None:
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        store = Store.open(path)
        store.begin(header())
        os.write(writer, b"x")
        signal.pause()
    assert os.read(reader, 1) == b"x"
    with pytest.raises(InUseError):
        Store.open(path)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    with Store.open(path) as store:
        assert store.unfinished() == 1


def test_another_program_with_the_file_locked(
    path: Path, header: Header, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(files, "WAIT", 0.05)
    with Store.open(path) as store, closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(RecordError, match="locked by another program: close what has it open"):
            store.begin(header())
        other.execute("ROLLBACK")
        assert store.begin(header()) == 1


DAMAGE: dict[str, Callable[[bytes], bytes]] = {
    "empty": lambda _: b"",
    "text": lambda _: b"Dear diary, today I stood on the roller for 40 seconds.\n" * 40,
    "zeros": lambda raw: bytes(len(raw)),
    "no header": lambda raw: bytes(100) + raw[100:],
    "first half": lambda raw: raw[: len(raw) // 8192 * 4096],
    "cut in a page": lambda raw: raw[: len(raw) - 1000],
    "last page gone": lambda raw: raw[:-4096],
    "a page of zeros": lambda raw: raw[: 4096 * 7] + bytes(4096) + raw[4096 * 8 :],
    "pages changed over": lambda raw: raw[: 4096 * 8] + raw[4096 * 9 : 4096 * 10]
    + raw[4096 * 8 : 4096 * 9] + raw[4096 * 10 :],
    "no table of events": lambda raw: raw.replace(b"TABLE events", b"TABLE evenst"),
}  # fmt: skip


@pytest.mark.parametrize("how", DAMAGE)
@pytest.mark.parametrize("read_only", [True, False])
def test_damage_is_named_and_the_file_kept_as_it_is(
    path: Path, header: Header, entry: Entry, how: str, read_only: bool
) -> None:
    _train(path, header, entry)
    path.write_bytes(DAMAGE[how](path.read_bytes()))
    before = _digest(path)
    for _ in range(3):
        with pytest.raises(DamagedError, match="is damaged") as caught:
            Store.open(path, read_only=read_only)
    assert str(path) in str(caught.value)
    assert "put a backup in its place" in str(caught.value)
    assert "Traceback" not in str(caught.value)
    assert "\n" not in str(caught.value)
    assert _digest(path) == before
    copies = list(path.parent.glob("*.damaged-*"))
    assert [_digest(copy) for copy in copies] == [before]
    assert str(copies[0]) in str(caught.value)


def test_damage_with_a_log_beside_it(path: Path, header: Header, entry: Entry) -> None:
    _train(path, header, entry)
    with Store.open(path) as store:
        store.append(3, *entry(81))
        log = path.with_name("record.db-wal")
        kept = log.read_bytes()
    path.write_bytes(DAMAGE["a page of zeros"](path.read_bytes()))
    log.write_bytes(kept)
    with pytest.raises(DamagedError):
        Store.open(path)
    assert log.read_bytes() == kept
    copies = {file.name[-4:]: file for file in path.parent.glob("*.damaged-*")}
    assert copies["-wal"].read_bytes() == kept


def test_damage_where_no_copy_can_be_kept(
    path: Path, header: Header, entry: Entry, monkeypatch: pytest.MonkeyPatch
) -> None:
    _train(path, header, entry)
    path.write_bytes(DAMAGE["a page of zeros"](path.read_bytes()))
    before = _digest(path)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(files, "copyfile", full)
    with pytest.raises(DamagedError, match="a copy could not be kept: No space left on device"):
        Store.open(path)
    assert _digest(path) == before


def test_no_flipped_bit_goes_unseen(path: Path, header: Header, entry: Entry) -> None:
    """A bit that is flipped anywhere is told, or was of no use: nothing false is ever read."""
    _train(path, header, entry, sessions=2, entries=40)
    whole, truth = path.read_bytes(), _everything(path)
    assert len(truth) == 2
    chance = random.Random(11)
    told = 0
    for _ in range(400):
        raw = bytearray(whole)
        raw[chance.randrange(len(raw))] ^= 1 << chance.randrange(8)
        path.write_bytes(raw)
        try:
            assert _everything(path) == truth
        except RecordError:
            told += 1
        for file in path.parent.glob("*.damaged-*"):
            file.unlink()
    assert told > 100


def test_no_entry_changes_its_place_unseen(path: Path, header: Header, entry: Entry) -> None:
    """Every bit of what stands before the last bodies of each session: their keys and lengths."""
    _train(path, header, entry, sessions=2, entries=21)
    whole, truth = path.read_bytes(), _everything(path)
    lasts = [
        found.start()
        for found in re.finditer(rb'{"kind":', whole)
        if any(part in whole[found.start() : found.start() + 130] for part in LAST)
    ]
    assert len(lasts) > 7
    for place in lasts:
        for bit in range(14 * 8):
            raw = bytearray(whole)
            raw[place - 1 - bit // 8] ^= 1 << bit % 8
            path.write_bytes(raw)
            with contextlib.suppress(RecordError):
                assert _everything(path) == truth
        for file in path.parent.glob("*.damaged-*"):
            file.unlink()


LAST = (b'"at":20.0', b'"at":21.0', b'"set_id":20')


def test_a_log_cut_short_loses_only_its_end(path: Path, header: Header, entry: Entry) -> None:
    """What a power cut may leave of the log: each entry is there whole or not at all."""
    elsewhere = path.parent.with_name("cut") / "record.db"
    elsewhere.parent.mkdir()
    _train(path, header, entry, sessions=1, entries=10)
    with Store.open(path) as store:
        for number in range(11, 31):
            store.append(1, *entry(number))
        log = path.with_name("record.db-wal").read_bytes()
        base = path.read_bytes()
    seen = set()
    for size in range(0, len(log) + 1, 509):
        elsewhere.write_bytes(base)
        elsewhere.with_name("record.db-wal").write_bytes(log[:size])
        with Store.open(elsewhere) as store:
            events, facts = store.events(1), store.facts(1)
        entries = [entry(number) for number in range(1, len(events) + 1)]
        assert events == [event for event, _ in entries]
        assert facts == [fact for _, following in entries for fact in following]
        seen.add(len(events))
    assert seen >= {10, 20, 29}


def test_a_later_schema(path: Path, header: Header) -> None:
    Store.open(path).close()
    with closing(sqlite3.connect(path)) as other:
        other.execute("PRAGMA user_version = 99")
    before = _digest(path)
    for read_only in (True, False):
        with pytest.raises(RecordError, match=r"later cuewalk \(version 99, .* bring cuewalk"):
            Store.open(path, read_only=read_only)
    assert _digest(path) == before
    assert not list(path.parent.glob("*.damaged-*"))


def test_a_database_of_another_program(path: Path) -> None:
    path.parent.mkdir()
    with closing(sqlite3.connect(path)) as other:
        other.execute("CREATE TABLE songs (title TEXT)")
    before = _digest(path)
    with pytest.raises(RecordError, match="database of another program"):
        Store.open(path)
    assert _digest(path) == before


@pytest.fixture
def next_version(monkeypatch: pytest.MonkeyPatch) -> Callable[[str], None]:
    """Make as if a later cuewalk had one more step."""

    def set_up(script: str) -> None:
        text = files._text
        monkeypatch.setattr(files, "STEPS", (*files.STEPS, "next.sql"))
        monkeypatch.setattr(
            files, "_text", lambda name: script if name == "next.sql" else text(name)
        )

    return set_up


@pytest.mark.parametrize("read_only", [True, False])
def test_an_older_record_is_brought_up_to_date(
    path: Path, header: Header, entry: Entry, next_version: Callable[[str], None], read_only: bool
) -> None:
    _train(path, header, entry)
    before = _everything(path)
    next_version("CREATE TABLE notes (body TEXT); CREATE INDEX by_body ON notes (body);")
    with Store.open(path, read_only=read_only) as store:
        assert store._connection.execute("PRAGMA user_version").fetchone() == (2,)
        assert store._connection.execute("SELECT count(*) FROM notes").fetchone() == (0,)
    assert _everything(path) == before


def test_a_step_that_fails_changes_nothing(
    path: Path, header: Header, entry: Entry, next_version: Callable[[str], None]
) -> None:
    _train(path, header, entry)
    before = _everything(path)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(files, "STEPS", (*files.STEPS, "next.sql"))
        script = "CREATE TABLE notes (body TEXT); INSERT INTO nowhere VALUES (1);"
        text = files._text
        patch.setattr(files, "_text", lambda name: script if name == "next.sql" else text(name))
        with pytest.raises(RecordError, match="no such table"):
            Store.open(path)
    assert _everything(path) == before
    next_version("CREATE TABLE notes (body TEXT);")
    with Store.open(path) as store:
        assert store._connection.execute("SELECT count(*) FROM notes").fetchone() == (0,)


def test_what_is_left_of_a_draft_does_no_harm(path: Path, header: Header, entry: Entry) -> None:
    path.parent.mkdir()
    for ending in (".new", ".new-journal", ".new-wal", ".new-shm"):
        path.with_name(path.name + ending).write_bytes(b"left over" * 500)
    _train(path, header, entry)
    assert len(_everything(path)) == 3


def test_the_log_of_a_record_that_is_gone_is_put_away(
    path: Path, header: Header, entry: Entry
) -> None:
    """Moved away by hand without its log: the new record must not take that for its own."""
    with Store.open(path) as store:
        session = store.begin(header(athlete="Ben"))
        for number in range(1, 9):
            store.append(session, *entry(number))
        log = path.with_name("record.db-wal")
        kept = log.read_bytes()
    path.unlink()
    log.write_bytes(kept)
    with Store.open(path) as store:
        assert store.sessions() == []
        store.append(store.begin(header()), *entry(1))
    assert [info[0].header.athlete for info in _everything(path)] == ["Ada"]  # type: ignore[index]
    assert [file.read_bytes() for file in path.parent.glob("*.left-*-wal")] == [kept]


def test_a_backup_is_a_record(path: Path, header: Header, entry: Entry, tmp_path: Path) -> None:
    _train(path, header, entry)
    copy = tmp_path / "backup.db"
    shutil.copyfile(path, copy)
    assert _everything(copy) == _everything(path)
