"""A session's lines, rendered before it: nearly all that it will say, in the same words."""

from __future__ import annotations

import io
import threading
from datetime import UTC, datetime

import pytest

from assistant.athletes import ATHLETES
from assistant.coach import Coach
from assistant.files import builtin_catalogue
from assistant.preparing import new_setting
from assistant.prompts import prompts, wait_with_bar
from assistant.rehearsal import rehearse
from assistant.session.state import Setting
from catalogue.model import Profile

CATALOGUE = builtin_catalogue()
COACH = Coach.of(CATALOGUE, "en")


@pytest.fixture(scope="module")
def setting() -> Setting:
    profile = Profile(
        athlete="Robin",
        levels=dict.fromkeys(CATALOGUE.skills, "beginner"),
        equipment=("mat", "pipe"),
    )
    return new_setting(CATALOGUE, profile, None, datetime(2026, 3, 2, tzinfo=UTC), 20)


def test_they_come_in_the_order_in_which_they_are_needed(setting: Setting) -> None:
    first = prompts(setting, COACH)
    assert len(set(first)) == len(first) > 40
    assert "Robin" in first[0]


@pytest.mark.parametrize(("athlete", "share"), [("steady", 0.98), ("falls", 0.8)])
def test_most_of_what_is_said_was_ready(setting: Setting, athlete: str, share: float) -> None:
    ready = set(prompts(setting, COACH))
    fixed = {text for id, ways in COACH.lines.lines.items() for text in ways if "{" not in text}
    done = rehearse(setting, ATHLETES[athlete], COACH.render, COACH.understand, seed=9)
    said = [spoken.text for spoken in done.speech]
    assert sum(text in ready | fixed for text in said) >= share * len(said)


class Slow:
    """Does one line each time it is looked at, once it is let go."""

    def __init__(self, lines: int, busy: int) -> None:
        self.lines, self.busy = lines, busy

    @property
    def ahead(self) -> int:
        self.busy -= 1
        if self.busy < 0 and self.lines:
            self.lines -= 1
        return self.lines


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_on_a_terminal_a_bar_shows_how_far_it_is_and_goes_away() -> None:
    out = Terminal()
    wait_with_bar(Slow(40, busy=15), "rendering the voice", out)
    assert "rendering the voice" in out.getvalue()
    assert "/40" in out.getvalue()
    assert out.getvalue().rstrip().endswith(("\x1b[2K", "\x1b[?25h"))


@pytest.mark.parametrize("out", [io.StringIO(), Terminal()], ids=["pipe", "terminal"])
def test_what_is_ready_at_once_is_not_told_of(out: io.StringIO) -> None:
    voice = Slow(3, busy=0)
    thread = threading.Thread(target=wait_with_bar, args=(voice, "rendering", out))
    thread.start()
    thread.join(5.0)
    assert not thread.is_alive()
    assert out.getvalue() == ""
