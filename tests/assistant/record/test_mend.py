"""What can be saved out of a damaged record."""

from __future__ import annotations

import random
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from hashlib import sha256
from pathlib import Path

import pytest

from assistant.errors import RecordError
from assistant.record.header import SessionHeader
from assistant.record.mend import mend
from assistant.record.store import Store
from assistant.record.troubles import DamagedError, InUseError, NoRecordError
from assistant.session.events import Event
from assistant.session.facts import Fact, SetLogged

Header = Callable[..., SessionHeader]
Entry = Callable[[int], tuple[Event, list[Fact]]]

SESSIONS, ENTRIES = 6, 120


@pytest.fixture
def trained(path: Path, header: Header, entry: Entry) -> Path:
    with Store.open(path) as store:
        store._connection.execute("PRAGMA synchronous = OFF")
        for seed in range(1, SESSIONS + 1):
            session = store.begin(header(seed=seed))
            for number in range(1, ENTRIES + 1):
                store.append(session, *entry(number))
    return path


def _page(path: Path, number: int, content: bytes) -> None:
    raw = bytearray(path.read_bytes())
    raw[number * 4096 : (number + 1) * 4096] = content.ljust(4096, b"\0")
    path.write_bytes(raw)


def _damage_leaf(path: Path, table: str) -> None:
    """Overwrite a page from the middle of a table's entries."""
    kind = b'"kind":"SetLogged"' if table == "facts" else b'"kind":"Heard"'
    raw = path.read_bytes()
    pages = [raw[at : at + 4096] for at in range(0, len(raw), 4096)]
    holding = [number for number, page in enumerate(pages) if page.count(kind) > 3]
    _page(path, holding[len(holding) // 2], b"spilt coffee")


def test_a_whole_record_is_left_alone(trained: Path) -> None:
    before = sha256(trained.read_bytes()).hexdigest()
    assert mend(trained) is None
    assert sha256(trained.read_bytes()).hexdigest() == before


@pytest.mark.parametrize("table", ["events", "facts"])
def test_one_page_gone_costs_that_page(trained: Path, entry: Entry, table: str) -> None:
    _damage_leaf(trained, table)
    damaged = trained.read_bytes()
    with pytest.raises(DamagedError):
        Store.open(trained)
    saved = mend(trained)
    assert saved is not None
    assert saved.kept.read_bytes() == damaged
    written_facts = sum(len(entry(number)[1]) for number in range(1, ENTRIES + 1)) * SESSIONS
    assert saved.sessions == SESSIONS
    lost_events = SESSIONS * ENTRIES - saved.events
    lost_facts = written_facts - saved.facts
    lost, other = (lost_events, lost_facts) if table == "events" else (lost_facts, lost_events)
    assert 0 < lost < 60
    assert other == 0
    known = [entry(number) for number in range(1, ENTRIES + 1)]
    with Store.open(trained) as store:
        assert [info.header.seed for info in store.sessions()] == list(range(1, SESSIONS + 1))
        for info in store.sessions():
            assert set(store.events(info.id)) <= {event for event, _ in known}
            assert set(store.facts(info.id)) <= {fact for _, facts in known for fact in facts}
        store.append(1, *entry(4))
    assert mend(trained) is None


def test_entries_that_are_not_as_written_are_left_out(trained: Path) -> None:
    raw = trained.read_bytes()
    spot = raw.index(b'"seconds":40.0')
    trained.write_bytes(raw[:spot] + b'"seconds":90.0' + raw[spot + 14 :])
    with Store.open(trained) as store, pytest.raises(DamagedError, match="not what was written"):
        [store.facts(session) for session in range(1, SESSIONS + 1)]
    saved = mend(trained)
    assert saved is not None
    with Store.open(trained) as store:
        facts = [fact for session in range(1, SESSIONS + 1) for fact in store.facts(session)]
    assert not any(isinstance(fact, SetLogged) and fact.seconds == 90.0 for fact in facts)
    assert len(facts) == saved.facts


def test_what_random_damage_leaves(
    path: Path, header: Header, entry: Entry, tmp_path: Path
) -> None:
    """Whatever is hit: what comes back was written, in its order, or there is one clear error."""
    with Store.open(path) as store:
        for _ in range(2):
            session = store.begin(header())
            for number in range(1, 60):
                store.append(session, *entry(number))
        truth = [(store.events(one), store.facts(one)) for one in (1, 2)]
    whole = path.read_bytes()
    chance = random.Random(3)
    outcomes = {"saved": 0, "whole": 0, "nothing": 0}
    for turn in range(30):
        victim = tmp_path / str(turn) / "record.db"
        victim.parent.mkdir()
        raw = bytearray(whole)
        for _ in range(chance.choice([1, 3, 40])):
            raw[chance.randrange(100, len(raw))] = chance.randrange(256)
        victim.write_bytes(raw)
        try:
            saved = mend(victim)
        except RecordError:
            assert victim.read_bytes() == raw
            outcomes["nothing"] += 1
            continue
        outcomes["saved" if saved else "whole"] += 1
        with Store.open(victim, read_only=True) as store:
            for info in store.sessions():
                events, facts = truth[info.id - 1]
                rest = iter(events)
                assert all(event in rest for event in store.events(info.id))
                rest_of_facts = iter(facts)
                assert all(fact in rest_of_facts for fact in store.facts(info.id))
    assert outcomes["saved"] > 10


def test_entries_in_the_log_are_saved_too(trained: Path, entry: Entry) -> None:
    with Store.open(trained) as store:
        store.append(1, *entry(121))
        log = trained.with_name("record.db-wal")
        kept = log.read_bytes()
    _damage_leaf(trained, "facts")
    log.write_bytes(kept)
    assert mend(trained)
    with Store.open(trained, read_only=True) as store:
        assert store.events(1)[-1] == entry(121)[0]


def test_facts_outlive_their_events(trained: Path, entry: Entry) -> None:
    with closing(sqlite3.connect(trained)) as other:
        (root,) = other.execute(
            "SELECT rootpage FROM sqlite_master WHERE name = 'events'"
        ).fetchone()
    _page(trained, root - 1, b"")
    saved = mend(trained)
    assert saved is not None
    assert (saved.sessions, saved.events) == (SESSIONS, 0)
    with Store.open(trained, read_only=True) as store:
        expected = [fact for number in range(1, ENTRIES + 1) for fact in entry(number)[1]]
        assert store.facts(1) == expected


def test_nothing_left_to_save(trained: Path) -> None:
    trained.write_bytes(b"spilt coffee" * 4000)
    before = trained.read_bytes()
    with pytest.raises(RecordError, match=r"nothing in it can be read: .* move it away"):
        mend(trained)
    assert trained.read_bytes() == before


def test_not_while_it_is_in_use(trained: Path) -> None:
    with Store.open(trained), pytest.raises(InUseError):
        mend(trained)


def test_not_there(path: Path) -> None:
    path.parent.mkdir()
    with pytest.raises(NoRecordError):
        mend(path)


def test_as_a_command(trained: Path) -> None:
    def run(path: Path) -> tuple[int, str, str]:
        command = [sys.executable, "-m", "assistant", "mend", str(path)]
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        return done.returncode, done.stdout, done.stderr

    assert run(trained)[:2] == (0, f"The record {trained} is whole: nothing was done.\n")
    _damage_leaf(trained, "events")
    code, said, wrong = run(trained)
    assert (code, wrong) == (0, "")
    numbers = ", ".join(str(number) for number in range(1, SESSIONS + 1))
    assert said.startswith(f"Saved {SESSIONS} sessions (number {numbers}) with ")
    code, said, wrong = run(trained.with_name("none.db"))
    assert (code, said) == (2, "")
    assert wrong.count("\n") == 1
