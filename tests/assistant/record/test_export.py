"""Exports, checked by an independent validator and by the grammar of RFC 4180."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from assistant.errors import InputError, RecordError
from assistant.record.export import (
    COLUMNS,
    CsvRow,
    Export,
    ExportedSession,
    columns,
    export,
    read_csv,
    read_export,
    schema,
    to_csv,
    to_json,
    write_schema,
)
from assistant.record.header import SessionHeader
from assistant.record.history import SetRow
from assistant.record.store import Store, checksum
from assistant.session.events import InputEnded, Started, TimerDue
from assistant.session.facts import (
    EffortLogged,
    PainReported,
    SessionEnded,
    SetCorrected,
    SetLogged,
    SetUndone,
)

Header = Callable[..., SessionHeader]

NUMBERS = st.floats(0, 1e9)
WHOLE = st.integers(0, 2**40)
EFFORT = st.none() | st.integers(0, 10)
TEXT = st.text() | st.sampled_from(["=1+1", "'", "''", " =a", "a\r\nb", 'say "hi", twice', "\0"])
ROWS = st.builds(
    SetRow, set_id=WHOLE, movement=TEXT, number=WHOLE, side=st.sampled_from(["none", "left"]),
    amount=NUMBERS, target=WHOLE, unit=st.sampled_from(["seconds", "reps", "metres"]),
    source=st.sampled_from(["timer", "said", "target"]), came_off=WHOLE, whole=st.booleans(),
    effort=EFFORT, pain=st.booleans(), logged=NUMBERS,
)  # fmt: skip
JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53), 2**53) | NUMBERS | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
    max_leaves=6,
)
OBJECTS = st.dictionaries(st.text(), JSON, max_size=3)
SESSIONS = st.builds(
    ExportedSession, session=WHOLE, started=TEXT, athlete=TEXT, language=TEXT, catalogue=TEXT,
    catalogue_digest=TEXT, program=TEXT, seed=WHOLE, seconds=NUMBERS, ended=st.none() | TEXT,
    effort=EFFORT, next_time=st.lists(TEXT, max_size=2).map(tuple),
    sets=st.lists(ROWS, max_size=4).map(tuple), profile=OBJECTS, plan=OBJECTS,
    facts=st.lists(OBJECTS, max_size=3).map(tuple),
)  # fmt: skip
EXPORTS = st.builds(
    Export, format=st.just("cuewalk-export"), version=st.just(1),
    sessions=st.lists(SESSIONS, max_size=3).map(tuple),
)  # fmt: skip


@pytest.fixture
def trained(path: Path, header: Header) -> Path:
    """Two sessions: one in full, one that broke off."""
    with Store.open(path) as store:
        session = store.begin(header(utc_offset=60, athlete="=HYPERLINK(1)"))
        store.append(
            session,
            Started(0.0),
            [
                SetLogged(1, "roller_stand", 1, "left", 40, "timer", seconds=38.25, came_off=1),
                SetLogged(2, "roller_stand", 1, "right", 40, "timer", seconds=20.0, whole=False),
                SetLogged(3, "wall_walk", 1, "none", 4, "target", reps=4),
            ],
        )
        store.append(session, TimerDue(300.0, "t"), [SetCorrected(2, seconds=25.0), SetUndone(3)])
        last = [EffortLogged("roller_stand", 7), PainReported("wrist", 1, None)]
        store.append(session, InputEnded(600.5), [*last, EffortLogged(None, 6)])
        store.append(session, InputEnded(601.5), [SessionEnded("done", ("A little longer.",))])
        store.begin(header())
    return path


def test_the_csv_of_a_session(trained: Path) -> None:
    with Store.open(trained, read_only=True) as store:
        text = to_csv(export(store))
    assert text.split("\r\n") == [
        "session,started,athlete,set_id,movement,number,side,amount,target,unit,source,came_off,"
        "whole,effort,pain,logged,session_effort",
        "1,2025-01-06T18:30:00,'=HYPERLINK(1),1,roller_stand,1,left,38.25,40,seconds,timer,1,"
        "yes,7,no,38.25,6",
        "1,2025-01-06T18:30:00,'=HYPERLINK(1),2,roller_stand,1,right,25.0,40,seconds,said,0,"
        "no,7,no,20.0,6",
        "",
    ]
    assert [row.athlete for row in read_csv(text)] == ["=HYPERLINK(1)"] * 2


def test_the_json_of_a_session(trained: Path) -> None:
    with Store.open(trained, read_only=True) as store:
        everything, first = export(store), export(store, session=1)
        with pytest.raises(RecordError, match="no session 9"):
            export(store, session=9)
    data = json.loads(to_json(everything))
    assert [one["session"] for one in data["sessions"]] == [1, 2]
    assert everything.sessions[:1] == first.sessions
    one, other = data["sessions"]
    assert (one["ended"], one["effort"], one["seconds"]) == ("done", 6, 601.5)
    assert one["next_time"] == ["A little longer."]
    assert one["profile"] == {"athlete": "Ada"}
    assert [row["set_id"] for row in one["sets"]] == [1, 2]
    # What was undone is no set that counts, yet nothing that was logged is left out.
    assert [fact["kind"] for fact in one["facts"]].count("SetLogged") == 3
    assert (other["ended"], other["effort"], other["sets"]) == (None, None, [])


def test_facts_of_a_later_cuewalk_are_exported_too(trained: Path) -> None:
    later = '{"kind":"Weighed","v":1,"kilograms":71}'
    with Store.open(trained) as store:
        session = store.begin(store.header(1))
        store.append(session, Started(0.0))
        row = (session, 1, 1, later)
        store._connection.execute(
            "INSERT INTO facts VALUES (?, ?, ?, ?, ?)", (*row, checksum(*row))
        )
        exported = export(store, session)
    assert exported.sessions[0].facts == (json.loads(later),)
    Draft202012Validator(schema()).validate(json.loads(to_json(exported)))


@given(EXPORTS)
def test_json_comes_back_and_keeps_to_the_schema(exported: Export) -> None:
    # jsonschema: an independent validator of JSON Schema, draft 2020-12.
    text = to_json(exported)
    assert read_export(text) == exported
    Draft202012Validator(schema()).validate(json.loads(text))


@given(EXPORTS)
def test_csv_comes_back(exported: Export) -> None:
    expected = [
        CsvRow(
            **row.model_dump(), session=one.session, started=one.started, athlete=one.athlete,
            session_effort=one.effort,
        )
        for one in exported.sessions
        for row in one.sets
    ]  # fmt: skip
    assert read_csv(to_csv(exported)) == expected


# RFC 4180, section 2, its grammar as a pattern. TEXTDATA is widened from ASCII to all of UTF-8 but
# the characters that the grammar gives a meaning, as RFC 7111, section 5.1, allows.
FIELD = r'(?:"(?:[^"]|"")*"|[^",\r\n]*)'
RECORD = rf"{FIELD}(?:,{FIELD}){{{len(COLUMNS) - 1}}}"
FILE = re.compile(rf"{RECORD}(?:\r\n{RECORD})*\r\n")


@given(EXPORTS)
def test_csv_keeps_to_rfc_4180(exported: Export) -> None:
    assert FILE.fullmatch(to_csv(exported))


# OWASP ASVS 5.0, requirement 1.2.10: a field that begins with one of these is to be escaped with a
# single quote.
@pytest.mark.parametrize("first", ["=", "+", "-", "@", "\t", "\0"])
@settings(max_examples=20)
@given(EXPORTS, st.text())
def test_no_text_is_a_formula(first: str, exported: Export, rest: str) -> None:
    sessions = [one.model_copy(update={"athlete": first + rest}) for one in exported.sessions]
    text = to_csv(exported.model_copy(update={"sessions": tuple(sessions)}))
    for cells in csv.reader(io.StringIO(text, newline="")):
        assert not any(cell.lstrip().startswith(tuple("=+-@\t\0")) for cell in cells)
    assert all(row.athlete == first + rest for row in read_csv(text))


def test_the_published_schema_is_that_of_the_export() -> None:
    Draft202012Validator.check_schema(schema())
    assert json.dumps(schema(), indent=2, ensure_ascii=False) + "\n" == write_schema(), (
        "the export has changed: write assistant/record/export.schema.json anew with write_schema"
    )


@pytest.mark.parametrize(
    "spoil",
    [
        lambda data: data.pop("version"),
        lambda data: data.update(version=2),
        lambda data: data.update(mood="good"),
        lambda data: data["sessions"][0].pop("sets"),
        lambda data: data["sessions"][0]["sets"][0].update(amount="38"),
        lambda data: data["sessions"][0]["sets"][0].update(side="top"),
        lambda data: data["sessions"][0]["sets"][0].pop("unit"),
    ],
)
def test_what_the_schema_refuses(trained: Path, spoil: Callable[[object], object]) -> None:
    with Store.open(trained, read_only=True) as store:
        data = json.loads(to_json(export(store)))
    spoil(data)
    assert not Draft202012Validator(schema()).is_valid(data)


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("", "not an export"),
        ("[]", "not an export"),
        ('{"format":"cuewalk-export","version":2,"sessions":[]}', "version"),
        ('{"format":"diary","version":1,"sessions":[]}', "format"),
        ('{"format":"cuewalk-export","version":1}', "sessions: Field required"),
    ],
)
def test_what_is_no_json_export(text: str, wrong: str) -> None:
    with pytest.raises(InputError, match=wrong):
        read_export(text)


HEAD = ",".join(COLUMNS) + "\r\n"
GOOD = "1,2025,Ada,1,plank,1,left,38.0,40,seconds,timer,0,yes,7,no,38.0,\r\n"


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("", "line 1: not the column names"),
        ("a,b\r\n", "line 1: not the column names"),
        (HEAD + "1,2\r\n", "line 2: 2 cells instead of 17"),
        (HEAD + GOOD + GOOD.replace("38.0,40", "much,40"), "line 3: amount"),
        (HEAD + GOOD.replace("left", "top"), "line 2: side"),
        (HEAD + GOOD.replace("yes", "maybe"), "line 2: whole"),
        (HEAD + '1,"2025', "line 2: "),
    ],
)
def test_what_is_no_csv_export(text: str, wrong: str) -> None:
    with pytest.raises(InputError, match=wrong):
        read_csv(text)


def test_a_csv_that_is_good() -> None:
    (row,) = read_csv(HEAD + GOOD)
    assert (row.whole, row.pain, row.effort, row.session_effort) == (True, False, 7, None)


def test_every_column_tells_what_it_holds() -> None:
    assert [name for name, _ in columns()] == list(COLUMNS)
    assert all(meaning for _, meaning in columns())
    assert set(COLUMNS) == set(CsvRow.model_fields)
