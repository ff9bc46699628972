"""What a report reads of the record agrees with what decisions are taken from."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from assistant.record.history import history
from assistant.record.store import Store
from assistant.report.past import Change, Past, Trouble, read_past
from assistant.session.facts import CheckedIn, PainReported, Swapped, UnwellReported
from catalogue.model import Profile
from tests.assistant.report.season import FIRST, Session, profile, write


def test_the_history_is_the_one_that_plans_rest_on(
    season: Path, past: tuple[Profile, Past]
) -> None:
    with Store.open(season, read_only=True) as store:
        assert past[1].history == history(store, "Robin")
    assert past[1].troubles  # the season had pain in it
    assert past[1].changes


def test_troubles_and_changes_come_with_their_day(tmp_path: Path) -> None:
    path = tmp_path / "record.db"
    facts = [
        CheckedIn(3, ("knee", "wrist"), True, ()),
        PainReported("wrist", 4, "line_walk"),
        UnwellReported("line_walk"),
        Swapped("line_walk", None, "skip", "skipped"),
    ]
    later = FIRST + timedelta(days=2)
    write(
        path,
        profile(),
        [Session(FIRST, facts), Session(later, [CheckedIn(0, (), True, ())])],
    )
    write(path, profile("Kim"), [Session(later, [PainReported(None, None, None)])])
    day = FIRST.date().toordinal()
    with Store.open(path, read_only=True) as store:
        sessions = store.sessions()
        robin, kim = (read_past(store, sessions, name) for name in ("Robin", "Kim"))
    assert robin.troubles == (
        Trouble(day, "pain", "before", ("knee", "wrist"), 3),
        Trouble(day, "pain", "during", ("wrist",), 4, "line_walk"),
        Trouble(day, "unwell", "during", movement="line_walk"),
    )
    assert robin.changes == (Change(day, "line_walk", None, "skip"),)
    assert [one.day for one in robin.history.sessions] == [day, day + 2]
    assert kim.troubles == (Trouble(day + 2, "pain", "during"),)
