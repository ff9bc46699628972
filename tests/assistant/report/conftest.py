"""What the tests of pages share: a season on record, its report, and a browser."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.files import builtin_catalogue
from assistant.record.store import Store
from assistant.report.past import Past, read_past
from assistant.report.report import report_page
from assistant.report.whose import whose
from catalogue.model import Profile
from tests.assistant.report.browser import Browser, program
from tests.assistant.report.season import profile, train


@pytest.fixture(scope="session")
def season(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A record with 18 rehearsed sessions of Robin: steady ones, falls, pain, missing things."""
    path = tmp_path_factory.mktemp("season") / "record.db"
    train(path, profile(), 18)
    return path


@pytest.fixture(scope="session")
def past(season: Path) -> tuple[Profile, Past]:
    with Store.open(season, read_only=True) as store:
        sessions = store.sessions()
        who = whose(sessions, builtin_catalogue())
        return who, read_past(store, sessions, who.athlete)


@pytest.fixture(scope="session")
def report(past: tuple[Profile, Past]) -> str:
    who, everything = past
    today = everything.history.sessions[-1].day + 1
    return report_page(builtin_catalogue(), who, everything, today, "0.1.0")


@pytest.fixture(scope="session")
def report_file(report: str, tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("page") / "report.html"
    file.write_text(report, encoding="utf-8")
    return file


@pytest.fixture(scope="session")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    if program() is None:
        pytest.skip("no Chromium here (Debian: chromium)")
    made = Browser(tmp_path_factory.mktemp("browser"))
    yield made
    made.close()
