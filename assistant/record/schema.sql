-- The record, version 1. It only grows: nothing on it is ever changed or taken away.
--
-- `body` is the JSON text of one entry, `crc` the CRC-32 of its place and its body (entry.py).
-- `seq` counts from 1 without a gap within a session. Order is `seq`, never a time: clocks jump.

CREATE TABLE sessions (
    id INTEGER PRIMARY KEY,
    body TEXT NOT NULL,
    crc INTEGER NOT NULL
);

CREATE TABLE events (
    session INTEGER NOT NULL REFERENCES sessions (id),
    seq INTEGER NOT NULL,
    body TEXT NOT NULL,
    crc INTEGER NOT NULL,
    PRIMARY KEY (session, seq)
) WITHOUT ROWID;

-- `event` is the event that the fact followed from.
CREATE TABLE facts (
    session INTEGER NOT NULL,
    seq INTEGER NOT NULL,
    event INTEGER NOT NULL,
    body TEXT NOT NULL,
    crc INTEGER NOT NULL,
    PRIMARY KEY (session, seq),
    FOREIGN KEY (session, event) REFERENCES events (session, seq)
) WITHOUT ROWID;

CREATE TRIGGER sessions_keep_update BEFORE UPDATE ON sessions
BEGIN SELECT raise(ABORT, 'the record only grows'); END;
CREATE TRIGGER sessions_keep_delete BEFORE DELETE ON sessions
BEGIN SELECT raise(ABORT, 'the record only grows'); END;
CREATE TRIGGER events_keep_update BEFORE UPDATE ON events
BEGIN SELECT raise(ABORT, 'the record only grows'); END;
CREATE TRIGGER events_keep_delete BEFORE DELETE ON events
BEGIN SELECT raise(ABORT, 'the record only grows'); END;
CREATE TRIGGER facts_keep_update BEFORE UPDATE ON facts
BEGIN SELECT raise(ABORT, 'the record only grows'); END;
CREATE TRIGGER facts_keep_delete BEFORE DELETE ON facts
BEGIN SELECT raise(ABORT, 'the record only grows'); END;

-- INSERT OR REPLACE deletes without a delete trigger, so what is inserted must be next in line.
CREATE TRIGGER sessions_next BEFORE INSERT ON sessions
WHEN EXISTS (SELECT 1 FROM sessions WHERE id = new.id)
BEGIN SELECT raise(ABORT, 'the record only grows'); END;
CREATE TRIGGER events_next BEFORE INSERT ON events
WHEN new.seq <> (SELECT coalesce(max(seq), 0) + 1 FROM events WHERE session = new.session)
BEGIN SELECT raise(ABORT, 'the record only grows'); END;
CREATE TRIGGER facts_next BEFORE INSERT ON facts
WHEN new.seq <> (SELECT coalesce(max(seq), 0) + 1 FROM facts WHERE session = new.session)
BEGIN SELECT raise(ABORT, 'the record only grows'); END;
