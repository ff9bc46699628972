"""Torn writes: a record whose log ends in the middle of a write, or in what the disk made of it.

What has to be left is known from the log itself, read here by SQLite's published description of
its format (https://www.sqlite.org/fileformat2.html, section 4, "The Write-Ahead Log"): every commit
that lies whole before the damage.
"""

from __future__ import annotations

import shutil
import struct
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from random import Random

from assistant.record.header import SessionHeader
from assistant.record.store import Store
from assistant.session.events import Event
from assistant.session.facts import Fact

Entry = Callable[[int], tuple[Event, list[Fact]]]
Header = Callable[..., SessionHeader]

HEAD, FRAME_HEAD = 32, 24
"""Bytes of the log's head, and of the head before every page in it."""


@dataclass(frozen=True)
class Live:
    """A record and its log as they lie on the disk while a program writes, with how many entries
    had been acknowledged."""

    record: Path
    entries: int

    @property
    def log(self) -> Path:
        return self.record.with_name(self.record.name + "-wal")


def written(folder: Path, header: Header, entry: Entry, entries: int) -> Live:
    """A copy of record and log, taken while the record is open."""
    source = folder / "source" / "record.db"
    with Store.open(source) as store:
        session = store.begin(header())
        for number in range(1, entries + 1):
            store.append(session, *entry(number))
        copy = folder / "live" / "record.db"
        copy.parent.mkdir()
        for ending in ("", "-wal"):
            shutil.copy(f"{source}{ending}", f"{copy}{ending}")
    return Live(copy, entries)


def commits(log: bytes) -> list[int]:
    """Where each commit of the log ends, in bytes; frames of an older use of the log left out."""
    (page,) = struct.unpack(">I", log[8:12])
    salts, ends = log[16:24], []
    for begins in range(HEAD, len(log), FRAME_HEAD + page):
        head = log[begins : begins + FRAME_HEAD]
        if head[8:16] != salts:
            break
        if struct.unpack(">I", head[4:8])[0]:
            ends.append(begins + FRAME_HEAD + page)
    return ends


def tear(log: bytes, random: Random) -> tuple[bytes, int]:
    """The log after a torn write, and up to which byte it is as it was."""
    at = random.randrange(HEAD, len(log))
    kind = random.randrange(5)
    if kind == 0:
        return log[:at], at
    size = min(len(log) - at, random.choice((1, 8, 512, 4096, len(log))))
    if kind == 1:
        torn = bytes(size)
    elif kind == 2:
        torn = random.randbytes(size)
    elif kind == 3:
        # A sector that belongs elsewhere.
        torn = log[:size]
    else:
        torn = bytes([log[at] ^ 1 << random.randrange(8)])
    whole = log[:at] + torn + log[at + len(torn) :]
    same = next((i for i, (a, b) in enumerate(zip(log, whole, strict=True)) if a != b), len(log))
    return whole, same


def opens_with_what_was_whole(live: Live, folder: Path, entry: Entry, random: Random) -> int:
    """Tear the log once and open the record; returns how many entries were lost with the tear."""
    log = live.log.read_bytes()
    torn, same = tear(log, random)
    path = folder / "record.db"
    shutil.copy(live.record, path)
    (folder / "record.db-wal").write_bytes(torn)
    ends = commits(log)
    # The first commits are the head of the session and what was before it.
    lost = sum(end > same for end in ends)
    with Store.open(path) as store:
        kept = store.events(1) if store.sessions() else []
        assert len(kept) >= live.entries - lost, "a commit that was whole is gone"
        entries = [entry(number) for number in range(1, len(kept) + 1)]
        assert kept == [event for event, _ in entries]
        assert not kept or store.facts(1) == [fact for _, facts in entries for fact in facts]
        # And it goes on.
        session = store.unfinished() or 0
        if session:
            store.append(session, *entry(len(kept) + 1))
    for file in folder.iterdir():
        file.unlink()
    return live.entries - len(kept)
