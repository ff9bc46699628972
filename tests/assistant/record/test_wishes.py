"""What was asked for by voice lasts until the profile's own line is changed."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from assistant.record.header import SessionHeader
from assistant.record.store import Store
from assistant.record.wishes import Wishes, wishes
from assistant.session.events import Started
from assistant.session.facts import Chosen
from catalogue.model import Profile

ADA = Profile(athlete="Ada")


@pytest.fixture
def store(path: Path) -> Iterator[Store]:
    opened = Store.open(path)
    yield opened
    opened.close()


@pytest.fixture
def session(store: Store, header: Callable[..., SessionHeader]) -> Callable[..., int]:
    def make(*facts: Chosen, profile: Profile = ADA) -> int:
        told = header(athlete=profile.athlete, profile=profile.model_dump_json())
        number = store.begin(told)
        store.append(number, Started(0.0), facts)
        return number

    return make


def test_nothing_said_is_nothing_wanted(store: Store, session: Callable[..., int]) -> None:
    assert wishes(store, ADA) == Wishes()
    session()
    assert wishes(store, ADA) == Wishes()


def test_the_last_word_counts_in_every_later_session(
    store: Store, session: Callable[..., int]
) -> None:
    session(Chosen("detail", "full"), Chosen("voice", "natural"))
    session(Chosen("detail", "usual"), Chosen("detail", "brief"))
    session()
    assert wishes(store, ADA) == Wishes("brief", "natural")


def test_loudness_and_rate_last_as_they_were_said(
    store: Store, session: Callable[..., int]
) -> None:
    session(Chosen("volume", "0.75"), Chosen("rate", "185"), Chosen("rate", "205"))
    session()
    assert wishes(store, ADA) == Wishes(volume=0.75, rate=205)
    changed = ADA.model_copy(update={"volume": 0.5})
    assert wishes(store, changed) == Wishes(rate=205)


@pytest.mark.parametrize("value", ["fast", "7", "nan", ""])
def test_a_rate_that_no_profile_can_have_is_none(
    store: Store, session: Callable[..., int], value: str
) -> None:
    session(Chosen("rate", value))
    assert wishes(store, ADA) == Wishes()


def test_whoever_changes_the_profile_means_it(store: Store, session: Callable[..., int]) -> None:
    session(Chosen("detail", "brief"), Chosen("voice", "natural"))
    changed = ADA.model_copy(update={"detail": "full"})
    assert wishes(store, changed) == Wishes(None, "natural")
    # What is said under the changed profile counts again.
    session(Chosen("detail", "usual"), profile=changed)
    assert wishes(store, changed).detail == "usual"


def test_a_session_from_before_there_was_detail_had_the_usual(
    store: Store, header: Callable[..., SessionHeader]
) -> None:
    number = store.begin(header(profile='{"athlete":"Ada"}'))
    store.append(number, Started(0.0), [Chosen("detail", "brief")])
    assert wishes(store, ADA).detail == "brief"


def test_others_wishes_are_theirs(store: Store, session: Callable[..., int]) -> None:
    session(Chosen("detail", "brief"), profile=Profile(athlete="Kim"))
    assert wishes(store, ADA) == Wishes()


def test_a_session_taken_up_again_begins_as_it_began(
    store: Store, session: Callable[..., int]
) -> None:
    session(Chosen("detail", "full"))
    second = session(Chosen("detail", "usual"))
    assert wishes(store, ADA, before=second).detail == "full"


def test_a_level_of_a_later_cuewalk_is_none(store: Store, session: Callable[..., int]) -> None:
    session(Chosen("detail", "chatty"))
    assert wishes(store, ADA).detail is None
