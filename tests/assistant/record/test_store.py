"""The store against a plain model of it, and what it must refuse."""

from __future__ import annotations

import os
import sqlite3
import stat
import tempfile
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from assistant.errors import RecordError
from assistant.record.codec import Unknown
from assistant.record.header import SessionHeader
from assistant.record.store import Store, checksum
from assistant.record.troubles import DamagedError, NoRecordError
from assistant.session.events import Event, InputEnded, Resumed, Started, TimerDue
from assistant.session.facts import EffortLogged, Fact, SessionEnded, SetUndone

Header = Callable[..., SessionHeader]
Entry = Callable[[int], tuple[Event, list[Fact]]]


class Sessions(RuleBasedStateMachine):
    """Whatever is done, in whatever order: what the store holds is what a list would hold."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        self.path = Path(self.folder.name) / "record.db"
        self.store = Store.open(self.path)
        self.model: list[tuple[str, list[Event], list[Fact]]] = []

    @rule(athlete=st.sampled_from(["Ada", "Ben"]))
    def begin(self, athlete: str) -> None:
        header = SessionHeader(
            started_utc="2025-01-06T17:30:00+00:00", athlete=athlete, language="en", profile="{}",
            plan="{}", catalogue="demo", catalogue_digest="0", seed=1, program="0.1.0",
        )  # fmt: skip
        assert self.store.begin(header) == len(self.model) + 1
        self.model.append((athlete, [], []))

    @precondition(lambda self: self.model)
    @rule(data=st.data(), at=st.floats(0, 4000), facts=st.integers(0, 3))
    def append(self, data: st.DataObject, at: float, facts: int) -> None:
        session = data.draw(st.integers(1, len(self.model)))
        event, following = TimerDue(at, "t"), [SetUndone(number) for number in range(facts)]
        self.store.append(session, event, following)
        self.model[session - 1][1].append(event)
        self.model[session - 1][2].extend(following)

    @precondition(lambda self: self.model)
    @rule(data=st.data())
    def finish(self, data: st.DataObject) -> None:
        session = data.draw(st.integers(1, len(self.model)))
        event, fact = InputEnded(9000.0), SessionEnded("done", ("rest",))
        self.store.append(session, event, [fact, EffortLogged(None, 5)])
        self.model[session - 1][1].append(event)
        self.model[session - 1][2].extend([fact, EffortLogged(None, 5)])

    @rule()
    def open_anew(self) -> None:
        self.store.close()
        self.store = Store.open(self.path)

    @invariant()
    def holds_what_was_appended(self) -> None:
        with Store.open(self.path, read_only=True) as reader:
            for store in (self.store, reader):
                infos = store.sessions()
                assert [info.header.athlete for info in infos] == [one[0] for one in self.model]
                for info, (_, events, facts) in zip(infos, self.model, strict=True):
                    assert store.events(info.id) == events
                    assert store.facts(info.id) == facts
                    assert (info.ended is not None) == any(
                        isinstance(fact, SessionEnded) for fact in facts
                    )
                    assert store.length(info.id) == (events[-1].at if events else 0.0)

    @invariant()
    def offers_the_last_session_where_it_broke_off(self) -> None:
        for athlete in (None, "Ada", "Ben"):
            own = [
                (number, facts)
                for number, (name, _, facts) in enumerate(self.model, 1)
                if athlete in (None, name)
            ]
            broke_off = own and not any(isinstance(fact, SessionEnded) for fact in own[-1][1])
            assert self.store.unfinished(athlete) == (own[-1][0] if broke_off else None)

    def teardown(self) -> None:
        self.store.close()
        self.folder.cleanup()


Sessions.TestCase.settings = settings(max_examples=30, stateful_step_count=20, deadline=None)
TestSessions = Sessions.TestCase


def test_every_append_is_flushed_to_the_disk(path: Path) -> None:
    # SQLite's documentation of `PRAGMA synchronous`: 2 is FULL, which in WAL mode flushes the log
    # after each transaction; 1, NORMAL, does not.
    with Store.open(path) as store:
        assert store._connection.execute("PRAGMA synchronous").fetchone() == (2,)
        assert store._connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)


def test_all_of_an_entry_or_nothing(path: Path, header: Header) -> None:
    with Store.open(path) as store:
        session = store.begin(header())
        store.append(session, Started(0.0))
        store._connection.execute(
            "CREATE TEMP TRIGGER no_second BEFORE INSERT ON facts WHEN new.seq = 2 "
            "BEGIN SELECT raise(ABORT, 'no room'); END"
        )
        with pytest.raises(RecordError, match="no room"):
            store.append(session, TimerDue(1.0, "t"), [SetUndone(1), SetUndone(2)])
        assert store.events(session) == [Started(0.0)]
        assert store.facts(session) == []
        store.append(session, TimerDue(2.0, "t"), [SetUndone(1)])
        assert len(store.events(session)) == 2


@pytest.mark.parametrize(
    "attempt",
    [
        "UPDATE sessions SET body = '{}'",
        "UPDATE events SET body = '{}'",
        "UPDATE facts SET body = '{}'",
        "UPDATE facts SET seq = 9 WHERE seq = 1",
        "DELETE FROM sessions",
        "DELETE FROM events WHERE seq = 3",
        "DELETE FROM facts",
        "REPLACE INTO sessions VALUES (1, '{}', 0)",
        "REPLACE INTO events VALUES (1, 3, '{}', 0)",
        "REPLACE INTO facts VALUES (1, 1, 1, '{}', 0)",
        "INSERT INTO events VALUES (1, 9, '{}', 0)",
        "INSERT INTO facts VALUES (1, 9, 1, '{}', 0)",
        "INSERT INTO events VALUES (1, 3, '{}', 0) ON CONFLICT DO UPDATE SET body = '{}'",
        "UPDATE OR REPLACE events SET seq = 1 WHERE seq = 2",
    ],
)
@pytest.mark.parametrize("opened_by", ["us", "another program"])
def test_nothing_on_record_is_changed(
    path: Path, header: Header, entry: Entry, attempt: str, opened_by: str
) -> None:
    with Store.open(path) as store:
        session = store.begin(header())
        for number in range(1, 6):
            store.append(session, *entry(number))
        before = (store.events(session), store.facts(session))
        with closing(sqlite3.connect(path, isolation_level=None)) as other:
            connection = store._connection if opened_by == "us" else other
            with pytest.raises(sqlite3.IntegrityError, match="only grows"):
                connection.execute(attempt)
        assert (store.events(session), store.facts(session)) == before


def test_files_are_the_users_own(path: Path, header: Header) -> None:
    if os.name != "posix":
        pytest.skip("rights of this kind are POSIX's")
    before = os.umask(0)
    try:
        with Store.open(path) as store:
            store.begin(header())
            files = {file.name: file for file in path.parent.iterdir()}
            assert {"record.db", "record.db-wal"} <= files.keys()
            assert {stat.S_IMODE(file.stat().st_mode) for file in files.values()} == {0o600}
            assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    finally:
        os.umask(before)


def test_a_reader_sees_what_is_written_while_it_reads(
    path: Path, header: Header, entry: Entry
) -> None:
    with Store.open(path) as store, Store.open(path, read_only=True) as reader:
        session = store.begin(header())
        for number in range(1, 9):
            store.append(session, *entry(number))
            assert len(reader.events(session)) == number


def test_a_reader_may_not_write(path: Path, header: Header) -> None:
    Store.open(path).close()
    with Store.open(path, read_only=True) as reader:
        with pytest.raises(RecordError, match="reading only"):
            reader.begin(header())
        with pytest.raises(sqlite3.OperationalError, match="readonly"):
            reader._connection.execute("INSERT INTO sessions VALUES (1, '{}', 0)")


def test_nothing_to_read_yet(path: Path) -> None:
    with pytest.raises(NoRecordError, match=r"no record at .*record\.db yet: train once"):
        Store.open(path, read_only=True)
    assert not path.parent.exists()


def test_no_such_session(path: Path) -> None:
    with Store.open(path) as store:
        for read in (store.header, store.events, store.facts, store.length, store.raw_facts):
            with pytest.raises(RecordError, match="no session 7"):
                read(7)
        assert store.sessions() == []
        assert store.unfinished() is None


def test_order_is_the_records_where_a_clock_goes_back(path: Path, header: Header) -> None:
    clocks = ["2025-01-06T17:30:00+00:00", "1970-01-01T00:00:10+00:00", "2025-01-05T09:00:00+00:00"]
    with Store.open(path) as store:
        numbers = [store.begin(header(started_utc=clock)) for clock in clocks]
        assert [info.header.started_utc for info in store.sessions()] == clocks
        assert store.unfinished() == numbers[-1]
        store.append(numbers[-1], TimerDue(50.0, "a"))
        store.append(numbers[-1], Resumed(20.0, -30.0))
        assert store.events(numbers[-1]) == [TimerDue(50.0, "a"), Resumed(20.0, -30.0)]


def _put(store: Store, table: str, *row: object) -> None:
    marks = ", ".join("?" * (len(row) + 1))
    store._connection.execute(f"INSERT INTO {table} VALUES ({marks})", (*row, checksum(*row)))


def test_facts_of_a_later_cuewalk_are_kept_and_passed_over(path: Path, header: Header) -> None:
    later = '{"kind":"Weighed","v":1,"kilograms":71}'
    with Store.open(path) as store:
        session = store.begin(header())
        store.append(session, Started(0.0), [SetUndone(1)])
        _put(store, "facts", session, 2, 1, later)
        store.append(session, TimerDue(1.0, "t"), [SetUndone(3)])
        assert store.facts(session) == [SetUndone(1), SetUndone(3)]
        assert store.raw_facts(session)[1] == later
        assert store.unfinished() == session
        _put(store, "facts", session, 4, 1, '{"kind":"SessionEnded","v":2,"mood":"good"}')
        assert isinstance(store.sessions()[0].ended, Unknown)
        assert store.unfinished() is None


def test_events_of_a_later_cuewalk_cannot_be_replayed(path: Path, header: Header) -> None:
    with Store.open(path) as store:
        session = store.begin(header())
        _put(store, "events", session, 1, '{"kind":"Fell","v":1,"at":4.0}')
        with pytest.raises(RecordError, match=r"later cuewalk \(Fell, version 1\): bring cuewalk"):
            store.events(session)
        assert store.length(session) == 4.0


@pytest.mark.parametrize("body", ["not JSON", '{"kind":"Started","v":1,"at":"now"}'])
def test_an_entry_that_is_no_event(path: Path, header: Header, body: str) -> None:
    with Store.open(path) as store:
        session = store.begin(header())
        _put(store, "events", session, 1, body)
        with pytest.raises(DamagedError, match=f"damaged .session {session}"):
            store.events(session)


def test_an_entry_that_is_not_what_was_written(path: Path, header: Header) -> None:
    with Store.open(path) as store:
        session = store.begin(header())
        store._connection.execute(
            "INSERT INTO events VALUES (?, 1, ?, 5)", (session, '{"kind":"Started","v":1,"at":0}')
        )
        with pytest.raises(DamagedError, match="not what was written"):
            store.events(session)


def test_closed_is_closed(path: Path, header: Header) -> None:
    store = Store.open(path)
    store.close()
    store.close()
    with pytest.raises(RecordError, match="closed"):
        store.begin(header())
    with pytest.raises(RecordError, match="closed"):
        store.sessions()
