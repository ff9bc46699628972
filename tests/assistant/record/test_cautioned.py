"""What the record tells of an athlete's cautions, and of being unwell."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, datetime, timedelta, timezone
from pathlib import Path

import pytest

from assistant.record.cautioned import AGAIN_AFTER, Cautioned, cautioned, unwell_on
from assistant.record.header import SessionHeader
from assistant.record.store import Store
from assistant.session.events import Started, TimerDue
from assistant.session.facts import (
    CautionsAccepted,
    CautionsHeard,
    Fact,
    SessionEnded,
    UnwellReported,
)

EVENING = datetime(2026, 3, 3, 23, 30, tzinfo=timezone(timedelta(hours=9)))
DAY = date(2026, 3, 3).toordinal()


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "record.db") as made:
        yield made


@pytest.fixture
def session(store: Store) -> Callable[..., int]:
    def make(*facts: Fact, began: datetime = EVENING, athlete: str = "Robin", lasts: float = 60.0):  # type: ignore[no-untyped-def]
        offset = began.utcoffset()
        assert offset is not None
        header = SessionHeader(
            started_utc=(began - offset).replace(tzinfo=None).isoformat() + "+00:00",
            utc_offset=int(offset.total_seconds() / 60),
            athlete=athlete, language="en", profile="{}", plan="{}", catalogue="c",
            catalogue_digest="d", seed=0, program="0",
        )  # fmt: skip
        number = store.begin(header)
        store.append(number, Started(0.0), facts)
        store.append(number, TimerDue(lasts, "none#0"), (SessionEnded("done"),))
        return number

    return make


def test_nothing_is_known_of_a_new_athlete(store: Store, session: Callable[..., int]) -> None:
    session(CautionsHeard(None), CautionsAccepted("a"), CautionsHeard("x"), athlete="Kim")
    assert cautioned(store, "Robin", DAY, "a") == Cautioned()


def test_an_acceptance_holds_for_its_wording(store: Store, session: Callable[..., int]) -> None:
    session(CautionsHeard(None), CautionsAccepted("a"), CautionsHeard("wall_walk"))
    assert cautioned(store, "Robin", DAY, "a") == Cautioned(frozenset({"wall_walk"}), False, True)
    assert not cautioned(store, "Robin", DAY, "b").accepted
    long_after = cautioned(store, "Robin", DAY + AGAIN_AFTER + 1, "a")
    assert (long_after.first_time, long_after.accepted) == (True, True)


def test_a_session_does_not_know_of_itself(store: Store, session: Callable[..., int]) -> None:
    number = session(CautionsHeard(None), CautionsAccepted("a"))
    assert cautioned(store, "Robin", DAY, "a", before=number) == Cautioned()


def test_unwell_holds_for_the_athletes_own_day(store: Store, session: Callable[..., int]) -> None:
    """Half past eleven at night in Korea is still the afternoon of that day in UTC."""
    session(UnwellReported(None), athlete="Kim")
    assert not unwell_on(store, "Robin", DAY)
    session(UnwellReported("wall_walk"))
    session()
    assert unwell_on(store, "Robin", DAY)
    assert not unwell_on(store, "Robin", DAY - 1)
    assert not unwell_on(store, "Robin", DAY + 1)


def test_a_session_over_midnight_counts_for_both_days(
    store: Store, session: Callable[..., int]
) -> None:
    session(UnwellReported(None), lasts=3600.0)
    assert unwell_on(store, "Robin", DAY)
    assert unwell_on(store, "Robin", DAY + 1)
    assert not unwell_on(store, "Robin", DAY + 2)
