"""Many exports into one database in memory: columns, so that thousands of sessions take seconds."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from importlib import resources
from pathlib import Path

import duckdb

from assistant.errors import InputError
from catalogue.conditions import rung
from catalogue.dosing import for_one_side, range_of
from catalogue.model import Catalogue

FILES = 10_000
"""The most exports in one folder."""

ROOM = 1 << 20
"""Bytes over its size that the reader is given for a file, which is one JSON object."""

_SET = (
    "STRUCT(movement VARCHAR, side VARCHAR, amount DOUBLE, target INTEGER, came_off INTEGER, "
    "whole BOOLEAN, effort INTEGER, pain BOOLEAN)"
)
_FACT = (
    "STRUCT(kind VARCHAR, part VARCHAR, level INTEGER, movement VARCHAR, pain INTEGER, "
    "parts VARCHAR[])"
)
_SESSION = (
    f"STRUCT(session BIGINT, started TIMESTAMP, athlete VARCHAR, seconds DOUBLE, ended VARCHAR, "
    f"effort INTEGER, sets {_SET}[], facts {_FACT}[])"
)
_COLUMNS = f"{{format: 'VARCHAR', version: 'INTEGER', sessions: '{_SESSION}[]'}}"
_AS_TABLE = f"format VARCHAR, version INTEGER, sessions {_SESSION}[]"
"""What of an export is looked at; whatever else it holds is passed over."""

_MOVEMENT = (
    '[{"id": "VARCHAR", "name": "VARCHAR", "skill": "VARCHAR", "skill_name": "VARCHAR", '
    '"rung": "INTEGER", "top": "INTEGER", "is_last": "BOOLEAN"}]'
)


@dataclass(frozen=True)
class Squad:
    """A database of the squad's sessions, and a sentence for each file that was left out."""

    base: duckdb.DuckDBPyConnection
    left_out: tuple[str, ...]


def read_squad(folder: Path, catalogue: Catalogue, today: date, lately: int) -> Squad:
    """Read every export (*.json) in the folder; the last `lately` days of training are present.

    They end with the newest session, or with `today` where a clock was ahead. Raises InputError
    where there is no export that can be read.
    """
    files = _files(folder)
    base = duckdb.connect(config={"autoinstall_known_extensions": "false"})
    base.execute(f"CREATE TABLE export (file VARCHAR, {_AS_TABLE})")
    left_out: list[str] = []
    try:
        _take(base, files)
    except duckdb.Error:
        # Some file is wrong: read them one by one to tell which, and keep the others.
        base.execute("DELETE FROM export")
        for file in files:
            try:
                _take(base, [file])
            except duckdb.Error as error:
                left_out.append(f"{file}: not an export of cuewalk ({_first(error)}); export anew")
    left_out += _strangers(base, files, left_out)
    if base.execute("SELECT count(*) FROM export").fetchone() == (0,):
        raise InputError("\n".join(left_out))
    base.execute(
        "CREATE TABLE movement AS SELECT unnest(from_json($all, $shape), recursive := true)",
        {"all": _movements(catalogue), "shape": _MOVEMENT},
    )
    _prepare(base, today, lately)
    return Squad(base, tuple(left_out))


def statements(name: str) -> str:
    """The text of a file of SQL statements beside this one."""
    return (resources.files("assistant.report.squad") / name).read_text("utf-8")


def _files(folder: Path) -> list[Path]:
    if not folder.is_dir():
        what = "is not a folder" if folder.exists() else "does not exist"
        raise InputError(f"{folder} {what}; give the folder that holds the athletes' exports")
    files = sorted(path for path in folder.glob("*.json") if path.is_file())
    # Schemas may lie beside the exports that they describe.
    files = [path for path in files if not path.name.endswith(".schema.json")]
    if not files:
        raise InputError(
            f"{folder} holds no export; have each athlete write one there, with "
            "cuewalk export --format json --to NAME.json"
        )
    if len(files) > FILES:
        raise InputError(f"{folder} holds over {FILES:,} files; read it in parts")
    return files


def _take(base: duckdb.DuckDBPyConnection, files: Sequence[Path]) -> None:
    """Read files into the table `export`. Raises duckdb.Error where one is of another shape."""
    largest = max(path.stat().st_size for path in files)
    base.execute(
        f"INSERT INTO export SELECT filename, format, version, sessions FROM read_json(?, "
        f"columns = {_COLUMNS}, filename = true, format = 'unstructured', "
        "maximum_object_size = ?)",
        [[_literal(path) for path in files], largest + ROOM],
    )


def _literal(path: Path) -> str:
    """A path in which no character stands for others."""
    return "".join(f"[{char}]" if char in "[*?" else char for char in str(path))


def _strangers(
    base: duckdb.DuckDBPyConnection, files: Sequence[Path], told: Sequence[str]
) -> list[str]:
    """Take out what is JSON but no export of this version, with a sentence for each file."""
    rows = base.execute(statements("strangers.sql")).fetchall()
    wrong = {str(file): str(why) for file, why in rows}
    base.execute("DELETE FROM export WHERE file IN (SELECT unnest($wrong))", {"wrong": [*wrong]})
    known = base.execute("SELECT DISTINCT file FROM export").fetchall()
    seen = {str(file) for (file,) in known} | set(wrong)
    empty = [
        f"{file}: it is empty; export anew"
        for file in files
        if str(file) not in seen and not any(one.startswith(f"{file}: ") for one in told)
    ]
    return [f"{file}: {why}" for file, why in wrong.items()] + empty


def _movements(catalogue: Catalogue) -> str:
    rows = []
    for movement in catalogue.movements.values():
        skill = catalogue.skills.get(movement.skill or "")
        rows.append(
            {
                "id": movement.id,
                "name": movement.name,
                "skill": movement.skill,
                "skill_name": skill.name if skill else None,
                "rung": rung(movement),
                "top": for_one_side(movement, range_of(movement.dosage).high),
                "is_last": movement.links.progress is None,
            }
        )
    return json.dumps(rows)


def _prepare(base: duckdb.DuckDBPyConnection, today: date, lately: int) -> None:
    for statement in duckdb.extract_statements(statements("read.sql")):
        given = {"today": today, "lately": lately} if "$today" in statement.query else None
        base.execute(statement, given)


def _first(error: duckdb.Error) -> str:
    """What the reader says is wrong, without its advice and without the file's name again."""
    line = str(error).splitlines()[0]
    return line.rpartition('", ')[2].split(": [")[0].strip().rstrip(".")
