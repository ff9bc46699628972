"""`cuewalk squad` as a user meets it, from exports that users make."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.assistant.report.run import run
from tests.assistant.report.season import profile, train


@pytest.fixture(scope="module")
def exports(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("squad")
    (folder / "exports").mkdir()
    for name, way in (("Kim", "steady"), ("Lou", "gives-up")):
        record = folder / f"{name}.db"
        train(record, profile(name), 3, ways=(way,))
        file = folder / "exports" / f"{name}.json"
        assert run("export", "--format", "json", "--record", record, "--to", file).code == 0
    return folder / "exports"


def test_a_squad_to_read_and_as_a_page(exports: Path, tmp_path: Path) -> None:
    ran = run("squad", exports)
    assert ran.code == 0, ran.err
    assert ran.out.startswith("2 athletes, 6 sessions; lately means since ")
    pain = ran.out.split("Pain and feeling unwell lately")[1].split("Everyone")[0]
    assert "Lou" in pain
    assert "wrist" in pain
    assert "Kim" not in pain
    page = tmp_path / "squad.html"
    assert run("squad", exports, "--to", page).out == f"{page}: 2 athletes\n"
    assert "wrist" in page.read_text(encoding="utf-8")


def test_one_bad_file_spoils_nothing_and_is_told(exports: Path, tmp_path: Path) -> None:
    for file in exports.iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    (tmp_path / "torn.json").write_text('{"format": "cuewalk-ex')
    ran = run("squad", tmp_path)
    assert ran.code == 2
    assert ran.out.startswith("2 athletes, 6 sessions")
    assert len(ran.err.splitlines()) == 1
    assert "torn.json: not an export of cuewalk" in ran.err


def test_nothing_to_read(tmp_path: Path) -> None:
    ran = run("squad", tmp_path)
    assert (ran.code, ran.out) == (2, "")
    assert "holds no export" in ran.err
