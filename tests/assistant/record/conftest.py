"""What the tests of the record share: a place for it, a header, entries, and a child process."""

from __future__ import annotations

import os
import pickle
import signal
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from assistant.record.header import SessionHeader
from assistant.session.events import Event, Heard, InputEnded, Started, TimerDue
from assistant.session.facts import Fact, SessionEnded, SetCorrected, SetLogged
from intents.meaning import Meaning


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where a test keeps its record."""
    return tmp_path / "home" / "record.db"


@pytest.fixture
def header() -> Callable[..., SessionHeader]:
    """Headers of invented sessions; what a test cares for is given by name."""

    def make(**given: Any) -> SessionHeader:
        usual: dict[str, Any] = {
            "started_utc": "2025-01-06T17:30:00+00:00",
            "athlete": "Ada",
            "language": "en",
            "profile": '{"athlete":"Ada"}',
            "plan": "{}",
            "catalogue": "demo",
            "catalogue_digest": "0" * 64,
            "seed": 1,
            "program": "0.1.0",
        }
        return SessionHeader(**{**usual, **given})

    return make


@pytest.fixture
def entry() -> Callable[[int], tuple[Event, list[Fact]]]:
    """The nth entry of an invented session without an end: an event and what follows from it."""

    def make(number: int) -> tuple[Event, list[Fact]]:
        if number == 1:
            return Started(0.0), []
        at = float(number)
        match number % 4:
            case 0:
                return TimerDue(at, f"hold-{number}"), [
                    SetLogged(number, "roller_stand", 1, "left", 40, "timer", seconds=at)
                ]
            case 1:
                words = Meaning("log", {"seconds": number})
                heard = Heard(at, f"log {number}", (words,), 0.9, "act", at - 0.5)
                return heard, [
                    SetCorrected(number - 1, seconds=at),
                    SetCorrected(number - 1, seconds=at),
                ]
            case _:
                return Heard(at, "what", (), 0.1, "pass", at - 0.5), []

    return make


@pytest.fixture
def end() -> tuple[Event, list[Fact]]:
    """The entry that ends a session."""
    return InputEnded(9999.0), [SessionEnded("done", ("the same again",))]


@pytest.fixture
def in_child() -> Callable[[Callable[[], Any]], Any]:
    """Run a function in a process of its own and return what it returns.

    For what a process does to itself and cannot take back: limits, another user, another mount.
    """

    def run(work: Callable[[], Any]) -> Any:
        reader, writer = os.pipe()
        child = os.fork()
        if child == 0:
            try:
                outcome: tuple[str, Any] = ("returned", work())
            except BaseException:
                outcome = ("raised", traceback.format_exc())
            with os.fdopen(writer, "wb") as out:
                pickle.dump(outcome, out)
            os.kill(os.getpid(), signal.SIGKILL)
        os.close(writer)
        with os.fdopen(reader, "rb") as answer:
            how, value = pickle.load(answer)
        os.waitpid(child, 0)
        assert how == "returned", value
        return value

    return run
