"""The record for others: JSON with everything that was logged, and CSV with one row for each set.

The JSON has the shape of `export.schema.json`; the CSV follows RFC 4180 (a header line, CRLF,
quotes doubled) in UTF-8, with the columns of `columns()`. Both can be read back.
"""

from __future__ import annotations

import csv
import io
import json
from importlib import resources
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, ConfigDict, Field, JsonValue, ValidationError

from assistant.errors import InputError
from assistant.record import codec
from assistant.record.history import SetRow, session_effort, sets
from assistant.record.store import SessionInfo, Store
from catalogue.model import Frozen


class ExportedSession(Frozen):
    """One session with its sets as they count, and every fact as it was logged."""

    session: int = Field(description="number of the session")
    started: str = Field(description="when it began, ISO 8601, by the athlete's clock")
    athlete: str
    language: str
    catalogue: str = Field(description="name of the catalogue")
    catalogue_digest: str
    program: str = Field(description="version of cuewalk")
    seed: int
    seconds: float = Field(description="how long it went on")
    ended: str | None = Field(description="how it ended; null where it broke off or goes on")
    effort: int | None = Field(description="effort of the whole session, RPE 0 to 10")
    next_time: tuple[str, ...] = Field(description="what was said about next time")
    sets: tuple[SetRow, ...] = Field(description="with corrections applied, without those undone")
    profile: dict[str, JsonValue] = Field(description="the athlete's profile when it began")
    plan: dict[str, JsonValue] = Field(description="the plan it began with")
    facts: tuple[dict[str, JsonValue], ...] = Field(
        description="everything logged, in order, nothing left out"
    )


class Export(Frozen):
    """What `to_json` writes and `read_export` gives back."""

    model_config = ConfigDict(title="Export of a cuewalk record")

    format: Literal["cuewalk-export"]
    version: Literal[1]
    sessions: tuple[ExportedSession, ...]


def _yes_or_no(value: object) -> object:
    return {"yes": True, "no": False}.get(value, value) if isinstance(value, str) else value


def _empty_is_none(value: object) -> object:
    return None if value == "" else value


YesNo = Annotated[bool, BeforeValidator(_yes_or_no)]
Effort = Annotated[int | None, BeforeValidator(_empty_is_none)]


class CsvRow(SetRow):
    """One line of the CSV: a set with what is needed of its session."""

    session: int = Field(description="number of the session")
    started: str = Field(description="when the session began, ISO 8601, by the athlete's clock")
    athlete: str = Field(description="name of the athlete")
    whole: YesNo = Field(description="yes, or no where the set was broken off")
    pain: YesNo = Field(description="yes where pain was reported in the movement")
    effort: Effort = Field(description="effort of the movement, RPE 0 to 10, or empty")
    session_effort: Effort = Field(description="effort of the session, RPE 0 to 10, or empty")


COLUMNS = (
    "session", "started", "athlete", "set_id", "movement", "number", "side", "amount", "target",
    "unit", "source", "came_off", "whole", "effort", "pain", "logged", "session_effort",
)  # fmt: skip


def columns() -> list[tuple[str, str]]:
    """The CSV's columns in order, each with what it holds."""
    return [(name, CsvRow.model_fields[name].description or "") for name in COLUMNS]


def export(store: Store, session: int | None = None) -> Export:
    """The whole record, or one session of it."""
    infos = [info for info in store.sessions() if session in (None, info.id)]
    if session is not None and not infos:
        store.header(session)
    sessions = tuple(_exported(store, info) for info in infos)
    return Export(format="cuewalk-export", version=1, sessions=sessions)


def to_json(exported: Export) -> str:
    """Indented JSON that keeps to `schema()`."""
    return exported.model_dump_json(indent=2) + "\n"


def read_export(text: str) -> Export:
    """What `to_json` wrote. Raises InputError, naming the first thing that is wrong."""
    try:
        return Export.model_validate_json(text, strict=True)
    except ValidationError as error:
        raise InputError(f"not an export of cuewalk: {_first(error)}; export it anew") from error


def schema() -> dict[str, Any]:
    """The published JSON Schema (draft 2020-12) of the JSON export."""
    text = (resources.files("assistant.record") / "export.schema.json").read_text("utf-8")
    published: dict[str, Any] = json.loads(text)
    return published


def to_csv(exported: Export) -> str:
    """One line for each set, under a line of column names, ready for a spreadsheet.

    A text that a spreadsheet would take for a formula gets an apostrophe before it, as does one
    that begins with an apostrophe, so that `read_csv` can tell.
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for one in exported.sessions:
        for row in one.sets:
            cells = {
                **row.model_dump(),
                "session": one.session,
                "started": one.started,
                "athlete": one.athlete,
                "session_effort": one.effort,
            }
            writer.writerow([_cell(cells[name]) for name in COLUMNS])
    return out.getvalue()


def read_csv(text: str) -> list[CsvRow]:
    """What `to_csv` wrote. Raises InputError, naming the line that is wrong."""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    rows: list[CsvRow] = []
    try:
        if tuple(next(reader, ())) != COLUMNS:
            raise InputError("line 1: not the column names of a cuewalk export; export it anew")
        for cells in reader:
            if len(cells) != len(COLUMNS):
                raise ValueError(f"{len(cells)} cells instead of {len(COLUMNS)}")
            texts = [cell.removeprefix("'") for cell in cells]
            rows.append(CsvRow.model_validate(dict(zip(COLUMNS, texts, strict=True))))
    except ValidationError as error:
        wrong = _first(error)
        raise InputError(f"line {reader.line_num}: {wrong}; export it anew") from error
    except (ValueError, csv.Error) as error:
        raise InputError(f"line {reader.line_num}: {error}; export it anew") from error
    return rows


def _exported(store: Store, info: SessionInfo) -> ExportedSession:
    header, facts = info.header, store.facts(info.id)
    ended = info.ended
    how = "unknown" if isinstance(ended, codec.Unknown) else ended.how if ended else None
    return ExportedSession(
        session=info.id,
        started=header.started().isoformat(timespec="seconds"),
        athlete=header.athlete,
        language=header.language,
        catalogue=header.catalogue,
        catalogue_digest=header.catalogue_digest,
        program=header.program,
        seed=header.seed,
        seconds=store.length(info.id),
        ended=how,
        effort=session_effort(facts),
        next_time=getattr(ended, "next_time", ()),
        sets=tuple(sets(facts)),
        profile=json.loads(header.profile),
        plan=json.loads(header.plan),
        facts=tuple(json.loads(raw) for raw in store.raw_facts(info.id)),
    )


_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "\0", "＝", "＋", "－", "＠")
"""What a spreadsheet may take for the start of a formula: OWASP ASVS 5.0, requirement 1.2.10, with
the line breaks and the full-width forms beside it."""


def _cell(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        risky = value.startswith((*_FORMULA, "'")) or value.lstrip().startswith(_FORMULA)
        return f"'{value}" if risky else value
    return str(value)


def _first(error: ValidationError) -> str:
    first = error.errors(include_url=False)[0]
    where = ".".join(str(part) for part in first["loc"])
    return f"{where}: {first['msg']}" if where else str(first["msg"])


def write_schema() -> str:
    """The text of `export.schema.json`, made from the models above."""
    made = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **Export.model_json_schema(mode="serialization"),
    }
    return json.dumps(made, indent=2, ensure_ascii=False) + "\n"
