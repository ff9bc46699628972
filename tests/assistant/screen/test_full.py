"""The screen at work: what happened is painted at once, the number changes on the second."""

from __future__ import annotations

import io
import threading
from collections.abc import Sequence

import pytest
from rich.text import Text

from assistant.captions import Captions
from assistant.clock import SessionClock
from assistant.screen.full import JUST_PAST, FullScreen
from assistant.screen.layout import Size
from assistant.screen.terminal import Terminal
from assistant.session.decide import decide
from assistant.session.effects import Show
from assistant.session.events import Heard, SpeechFinished, Started
from assistant.session.state import State, opening
from intents.meaning import Meaning
from tests.assistant.screen.pictures import LINES
from tests.assistant.session.conftest import block, small_setting

SETTING = small_setting(block("line_stand", seconds=30))
PATIENCE = 10.0


class Paper(Terminal):
    """A terminal that keeps its frames as text and tells of each."""

    def __init__(self) -> None:
        super().__init__(io.StringIO(), prompt=True, environ={})
        self.frames: list[list[str]] = []
        self.parks = 0
        self.on = False
        self.painted = threading.Condition()

    def size(self) -> Size:
        return Size(80, 24)

    def enter(self) -> None:
        self.on = True

    def leave(self) -> None:
        self.on = False

    def park(self, size: Size) -> None:
        self.parks += 1

    def paint(self, lines: Sequence[Text], size: Size) -> None:
        with self.painted:
            self.frames.append([line.plain for line in lines])
            self.painted.notify_all()

    def wait_for(self, part: str) -> None:
        with self.painted:
            seen = self.painted.wait_for(
                lambda: self.frames and part in "\n".join(self.frames[-1]), PATIENCE
            )
        assert seen, (part, self.frames[-1:])


class Hands:
    """A steady clock that is moved by hand."""

    now = 0.0

    def clock(self) -> SessionClock:
        return SessionClock(0.0, 1.0, lambda: self.now, lambda: self.now)


@pytest.fixture
def paper() -> Paper:
    return Paper()


@pytest.fixture
def after() -> io.StringIO:
    return io.StringIO()


@pytest.fixture
def screen(paper: Paper, after: io.StringIO):  # type: ignore[no-untyped-def]
    made = FullScreen(paper, Captions(after), prompt=True)
    yield made
    made.close()


def in_a_hold(screen: FullScreen) -> State:
    """Walk to the start of the hold, as a session would."""
    state = opening(SETTING)
    at = 0.0

    def take(event: object) -> None:
        nonlocal state
        decision = decide(SETTING, state, event)  # type: ignore[arg-type]
        state = decision.state
        for effect in decision.effects:
            if isinstance(effect, Show):
                screen.show(effect.headline, effect.until)
        screen.see(state)

    take(Started(0.0))
    for word in ("yes", "no", "yes", "yes", "start"):
        while state.speaking:
            take(SpeechFinished(at, state.speaking[0], True))
        take(Heard(at, word, (Meaning(word),), 1.0, "act", at))
    return state


def test_what_is_said_is_seen_at_once(screen: FullScreen, paper: Paper) -> None:
    screen.note("before it began")
    screen.begin(LINES, SETTING, Hands().clock())
    assert paper.on
    paper.wait_for("note:    before it began")
    screen.coach("Any pain today?")
    paper.wait_for("coach:   Any pain today?")
    screen.athlete("no")
    paper.wait_for("athlete: no")


def test_the_countdown_follows_the_clock(screen: FullScreen, paper: Paper) -> None:
    hands = Hands()
    screen.begin(LINES, SETTING, hands.clock())
    in_a_hold(screen)
    paper.wait_for("line stand")
    seen = []
    for hands.now in (0.0, 0.5, 1.0, 2.4):
        count = len(paper.frames)
        screen.note(f"at {hands.now}")
        paper.wait_for(f"at {hands.now}")
        assert len(paper.frames) > count
        seen.append("\n".join(paper.frames[-1][1:12]))
    assert seen[0] == seen[1] != seen[2]
    assert seen[2] != seen[3]


@pytest.mark.parametrize(
    ("now", "speed", "wait"),
    [(0.0, 1.0, 0.0), (0.25, 1.0, 0.75), (4.5, 1.0, 0.5), (4.5, 10.0, 0.05), (6.0, 1.0, 1.0)],
)
def test_it_wakes_when_the_number_changes(
    screen: FullScreen, paper: Paper, now: float, speed: float, wait: float
) -> None:
    """Just past the second, and once a second where nothing counts down any more."""
    clock = SessionClock(now, speed, lambda: 0.0, lambda: 0.0)
    screen.begin(LINES, SETTING, clock)
    in_a_hold(screen)
    late = JUST_PAST / speed if now < 5.0 else 0.0
    assert screen._until_next(now) == pytest.approx(wait + late)


def test_each_line_typed_puts_the_cursor_back(screen: FullScreen, paper: Paper) -> None:
    screen.begin(LINES, SETTING, Hands().clock())
    paper.wait_for("Robin")
    assert paper.parks == 1
    for count, line in enumerate(screen.typed(["no\n", "\n"]), start=2):
        screen.note(f"line {line!r}")
        paper.wait_for("line")
        with paper.painted:
            paper.painted.wait_for(lambda count=count: paper.parks >= count, PATIENCE)
        assert paper.parks == count


def test_the_last_words_stay_behind(paper: Paper, after: io.StringIO) -> None:
    screen = FullScreen(paper, Captions(after), prompt=True)
    screen.begin(LINES, SETTING, Hands().clock())
    for number in range(30):
        screen.coach(f"line {number}")
    screen.athlete("finish")
    screen.close()
    assert not paper.on
    lines = after.getvalue().splitlines()
    assert lines[-2:] == ["coach: line 29", "athlete: finish"]
    assert len(lines) == 12


def test_a_session_that_never_began_leaves_its_notes(paper: Paper, after: io.StringIO) -> None:
    screen = FullScreen(paper, Captions(after), prompt=False)
    screen.note("no microphone")
    screen.close()
    assert after.getvalue() == "note: no microphone\n"
    assert not paper.frames
