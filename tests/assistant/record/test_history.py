"""Sets as they count, against a second way of counting them."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.record.header import SessionHeader
from assistant.record.history import history, session_effort, sets
from assistant.record.store import Store
from assistant.session.events import Event, Started, TimerDue
from assistant.session.facts import (
    CautionsHeard,
    CorrectionUndone,
    EffortLogged,
    Fact,
    PainReported,
    SessionEnded,
    SetCorrected,
    SetLogged,
    SetUndone,
)
from catalogue.history import SessionDone, SetDone

Header = Callable[..., SessionHeader]


def hold(set_id: int, movement: str = "plank", **more: object) -> SetLogged:
    usual: dict[str, object] = {"seconds": 30.0 + set_id}
    return SetLogged(set_id, movement, 1, "none", 40, "timer", **(more or usual))  # type: ignore[arg-type]


IDS = st.integers(1, 4)
RPE = st.integers(0, 10)
AFTERWARDS = st.one_of(
    st.builds(SetCorrected, IDS, seconds=st.floats(0, 600)),
    st.builds(CorrectionUndone, IDS),
    st.builds(SetUndone, IDS),
    st.builds(EffortLogged, st.sampled_from([None, "plank", "hang"]), RPE),
    st.builds(PainReported, st.none(), st.none(), st.sampled_from([None, "hang"])),
    st.builds(CautionsHeard, st.none()),
)


@st.composite
def sessions(draw: st.DrawFn) -> list[Fact]:
    """Facts of a session: sets in order, and anything that may be said of those before."""
    facts: list[Fact] = []
    for set_id in range(1, draw(st.integers(1, 4)) + 1):
        facts.append(hold(set_id, draw(st.sampled_from(["plank", "hang"]))))
        facts += draw(st.lists(AFTERWARDS, max_size=5))
    return facts


@given(sessions())
def test_amounts_agree_with_reading_backwards(facts: list[Fact]) -> None:
    """From the end: an undoing passes over one correction; the first one left is what counts."""
    expected: dict[int, float] = {}
    begun: set[int] = set()
    known = []
    for fact in facts:
        if isinstance(fact, SetLogged):
            begun.add(fact.set_id)
        if getattr(fact, "set_id", None) in begun:
            known.append(fact)
    undone = {fact.set_id for fact in known if isinstance(fact, SetUndone)}
    for set_id in begun - undone:
        passed_over = 0
        for fact in reversed([fact for fact in known if fact.set_id == set_id]):
            if isinstance(fact, CorrectionUndone):
                passed_over += 1
            elif isinstance(fact, SetCorrected) and passed_over:
                passed_over -= 1
            elif isinstance(fact, SetCorrected | SetLogged):
                assert fact.seconds is not None
                expected[set_id] = fact.seconds
                break
    assert {row.set_id: row.amount for row in sets(facts)} == expected


@given(sessions(), IDS, st.floats(0, 600))
def test_a_correction_undone_gives_the_first_back(
    facts: list[Fact], set_id: int, seconds: float
) -> None:
    both = [SetCorrected(set_id, seconds=seconds), CorrectionUndone(set_id)]
    assert sets([*facts, *both]) == sets(facts)


@given(sessions(), IDS, st.floats(0, 600))
def test_a_correction_counts_and_what_was_logged_stays(
    facts: list[Fact], set_id: int, seconds: float
) -> None:
    before = {row.set_id: row for row in sets(facts)}
    after = {row.set_id: row for row in sets([*facts, SetCorrected(set_id, seconds=seconds)])}
    assert before.keys() == after.keys()
    if set_id in after:
        new = after.pop(set_id)
        assert (new.amount, new.source) == (seconds, "said")
        assert new.logged == before.pop(set_id).logged
    assert before == after


@given(sessions(), IDS)
def test_undoing_takes_one_set_away(facts: list[Fact], set_id: int) -> None:
    left = sets([*facts, SetUndone(set_id)])
    assert left == [row for row in sets(facts) if row.set_id != set_id]
    assert sets([*facts, SetUndone(set_id), SetUndone(set_id)]) == left


@pytest.mark.parametrize(
    ("facts", "efforts"),
    [
        ([hold(1), EffortLogged("plank", 7)], {1: 7}),
        ([hold(1), hold(2), EffortLogged("plank", 7)], {1: 7, 2: 7}),
        ([hold(1), EffortLogged("plank", 7), hold(2)], {1: 7, 2: None}),
        ([hold(1), EffortLogged("plank", 7), hold(2), EffortLogged("plank", 8)], {1: 7, 2: 8}),
        ([hold(1), EffortLogged("plank", 6), EffortLogged("plank", 7)], {1: 7}),
        ([hold(1), hold(2, "hang"), EffortLogged("hang", 3)], {1: None, 2: 3}),
        ([hold(1), EffortLogged(None, 9)], {1: None}),
        ([EffortLogged("plank", 9), hold(1)], {1: None}),
    ],
)
def test_an_effort_belongs_to_the_sets_since_the_last(
    facts: list[Fact], efforts: dict[int, int | None]
) -> None:
    assert {row.set_id: row.effort for row in sets(facts)} == efforts


def test_units_sides_and_the_rest_come_through() -> None:
    facts: list[Fact] = [
        SetLogged(1, "turns", 1, "left", 6, "target", reps=6),
        SetLogged(2, "turns", 1, "right", 6, "said", reps=5, came_off=2, whole=False),
        SetLogged(3, "crawl", 2, "none", 10, "target", metres=10),
        SetCorrected(2, reps=4),
        PainReported("wrist", 4, "crawl"),
        SessionEnded("pain"),
    ]
    left, right, crawl = sets(facts)
    assert (left.side, left.amount, left.unit, left.source) == ("left", 6.0, "reps", "target")
    assert (right.side, right.amount, right.logged, right.source) == ("right", 4.0, 5.0, "said")
    assert (right.came_off, right.whole, right.pain) == (2, False, False)
    assert (crawl.number, crawl.amount, crawl.unit, crawl.pain) == (2, 10.0, "metres", True)


def test_a_correction_in_another_unit_changes_nothing() -> None:
    assert sets([hold(1), SetCorrected(1, reps=5)]) == sets([hold(1)])
    (row,) = sets([hold(1), SetCorrected(1, seconds=35.0), SetCorrected(1, reps=5)])
    assert row.amount == 35.0


def test_the_last_effort_of_the_session_counts() -> None:
    assert session_effort([EffortLogged("plank", 3)]) is None
    assert session_effort([EffortLogged(None, 3), EffortLogged(None, 0)]) == 0


@pytest.fixture
def trained(path: Path, header: Header) -> Path:
    """Four sessions: two of Ada's, one of Ben's, and one of Ada's on a clock gone wrong."""
    late = TimerDue(1800.0, "t")
    first: list[tuple[Event, list[Fact]]] = [
        (Started(0.0), [hold(1), hold(2)]),
        (TimerDue(60.0, "t"), [SetCorrected(1, seconds=38.0), SetUndone(2)]),
        (late, [EffortLogged("plank", 7), EffortLogged(None, 6), PainReported(None, 1, "plank")]),
    ]
    with Store.open(path) as store:
        for started, offset, athlete, entries in [
            ("2025-01-07T01:00:00+00:00", -480, "Ada", first),
            ("2025-01-08T12:00:00+00:00", 0, "Ben", [(Started(0.0), [hold(1)])]),
            ("1970-01-01T00:00:03+00:00", 0, "Ada", [(late, [hold(1, "hang")])]),
            ("2025-01-09T12:00:00+00:00", 60, "Ada", []),
        ]:
            session = store.begin(header(started_utc=started, utc_offset=offset, athlete=athlete))
            for event, facts in entries:
                store.append(session, event, facts)
    return path


def test_history_has_the_athletes_days_and_the_records_order(trained: Path) -> None:
    # 1 a.m. in UTC on the 7th is 5 p.m. on the 6th, eight hours to the west.
    monday, thursday = date(2025, 1, 6).toordinal(), date(2025, 1, 9).toordinal()
    with Store.open(trained, read_only=True) as store:
        past = history(store, "Ada")
    assert past.sets == (
        SetDone(day=monday, session=1, movement="plank", target=40, amount=38.0, rpe=7, pain=True),
        SetDone(day=monday, session=3, movement="hang", target=40, amount=31.0),
    )
    assert past.sessions == (
        SessionDone(1, monday, 30.0, 6),
        SessionDone(3, monday, 30.0, None),
        SessionDone(4, thursday, 0.0, None),
    )


def test_history_of_everybody(trained: Path) -> None:
    with Store.open(trained, read_only=True) as store:
        assert {done.session for done in history(store).sessions} == {1, 2, 3, 4}
        assert history(store, "Cleo").sets == ()
