"""After being unwell: no way back to the work on that day but by the keyboard."""

from __future__ import annotations

import io
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from assistant.coach import lines_of
from assistant.errors import InputError
from assistant.files import builtin_catalogue
from assistant.language import languages
from assistant.preparing import begin, new_setting, unfinished
from assistant.record.store import Store
from assistant.returning import return_choice
from assistant.session.events import Started
from assistant.session.facts import SessionEnded, UnwellReported
from catalogue.model import Profile

NOW = datetime.now().astimezone().replace(hour=12, minute=0)
PROFILE = Profile(athlete="Robin")
LINES = lines_of("en")


class Keyboard(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.fixture
def store(tmp_path: Path):  # type: ignore[no-untyped-def]
    with Store.open(tmp_path / "record.db") as made:
        yield made


def train(store: Store, at: datetime, *facts: object) -> int:
    setting = new_setting(builtin_catalogue(), PROFILE, store, at, return_chosen=True)
    session = begin(store, setting, at, "digest", "0")
    store.append(session, Started(0.0), facts)  # type: ignore[arg-type]
    return session


def choose(store: Store, typed: str, now: datetime = NOW) -> tuple[bool | None, str]:
    out = io.StringIO()
    return return_choice(store, "Robin", LINES, now, Keyboard(typed), out), out.getvalue()


def test_without_a_word_of_it_nothing_is_asked(store: Store) -> None:
    train(store, NOW, SessionEnded("done"))
    assert choose(store, "") == (None, "")
    assert not new_setting(builtin_catalogue(), PROFILE, store, NOW).returning


def test_it_is_asked_at_every_start_of_that_day_and_not_on_the_next(store: Store) -> None:
    train(store, NOW - timedelta(hours=3), UnwellReported(None), SessionEnded("unwell"))
    for _ in range(2):
        chosen, said = choose(store, "Train\n")
        assert chosen is True
        assert "coach or a clinician" in said
        train(store, NOW, SessionEnded("done"))
    assert choose(store, "", NOW + timedelta(days=1)) == (None, "")


@pytest.mark.parametrize("typed", ["", "\n", "no\n", "yes\n", "start\n", "y\n"])
def test_anything_else_is_no(store: Store, typed: str) -> None:
    train(store, NOW, UnwellReported(None), SessionEnded("unwell"))
    chosen, said = choose(store, typed)
    assert chosen is False
    assert "Not today" in said


def test_without_a_keyboard_it_can_not_be_chosen(store: Store) -> None:
    train(store, NOW, UnwellReported(None), SessionEnded("unwell"))
    with pytest.raises(InputError, match="keyboard"):
        return_choice(store, "Robin", LINES, NOW, io.StringIO("train\n"), io.StringIO())


def test_unasked_no_session_is_planned_or_taken_up(store: Store) -> None:
    train(store, NOW, UnwellReported(None), SessionEnded("unwell"))
    catalogue = builtin_catalogue()
    with pytest.raises(InputError, match="chosen at the keyboard"):
        new_setting(catalogue, PROFILE, store, NOW)
    assert new_setting(catalogue, PROFILE, store, NOW, return_chosen=True).returning
    train(store, NOW)
    with pytest.raises(InputError, match="chosen at the keyboard"):
        unfinished(store, catalogue, "digest", "Robin", NOW, lambda told: None)
    taken = unfinished(store, catalogue, "digest", "Robin", NOW, lambda told: None, True)
    assert taken is not None
    assert taken.setting.returning


def test_a_session_of_other_rules_is_kept_and_not_taken_up(store: Store) -> None:
    setting = new_setting(builtin_catalogue(), PROFILE, store, NOW)
    session = begin(store, setting, NOW, "digest", "0")
    store.append(session, Started(0.0))
    assert unfinished(store, builtin_catalogue(), "digest", "Robin", NOW, print) is not None
    older = store.header(session).model_copy(update={"rules": ""})
    store.append(store.begin(older), Started(0.0))
    told: list[str] = []
    assert unfinished(store, builtin_catalogue(), "digest", "Robin", NOW, told.append) is None
    assert "kept" in told[0]


@pytest.mark.parametrize("language", languages())
def test_every_language_names_the_word_to_type(language: str) -> None:
    assert lines_of(language).words["returning_word"].strip()
