"""The view follows the session wherever it goes."""

from __future__ import annotations

import doctest
from random import Random

import pytest

from assistant.language import language_text, languages
from assistant.screen import view as view_module
from assistant.screen.block_letters import shapes
from assistant.screen.layout import STYLES
from assistant.screen.view import LOST, QUESTION, WORK, View, view_of
from assistant.session.amounts import asked, unit_of
from assistant.session.decide import decide
from assistant.session.effects import Show, StartTimer
from assistant.session.events import AudioFound, AudioLost, Event, Started
from assistant.session.nodes import QUESTIONS, Node
from assistant.session.state import opening
from intents.lines import Lines
from tests.assistant.session.conftest import Play, block, small_setting
from tests.assistant.session.walking import some_event

FIXED = {
    "done", "unwell", "paused", "rest", "ready", "off", "switch", "get_set", "count", "work",
    f"{LOST}microphone", f"{LOST}loudspeaker", f"{LOST}computer",
}  # fmt: skip
HEADLINES = FIXED | set(QUESTION.values()) | set(WORK.values())
IN_LINES = {"check_in", "confirm_finish", "hurt", "stand_in"}
"""What captions as lines say where the screen has a headline of another name."""


def see(play: Play) -> View:
    shown = [e for e in play.effects if isinstance(e, Show)]
    return view_of(play.setting, play.state, shown[-1] if shown else None)


def test_examples() -> None:
    assert doctest.testmod(view_module).failed == 0


@pytest.mark.parametrize("code", languages())
def test_every_headline_has_its_words_and_no_other(code: str) -> None:
    lines = Lines.load(language_text(code, "lines"), language_text(code, "reasons"))
    named = {key.removeprefix("headline_") for key in lines.words if key.startswith("headline_")}
    assert named == HEADLINES | IN_LINES
    for name in ("coach", "athlete", "note"):
        assert f"who_{name}" in lines.words


def test_every_shape_has_a_drawing_and_a_colour() -> None:
    assert set(STYLES) | {"left", "right"} == set(shapes())


def test_every_question_asks() -> None:
    assert set(QUESTION) == QUESTIONS


def test_a_hold_counts_down_from_get_set_to_rest(play_with) -> None:  # type: ignore[no-untyped-def]
    play = play_with(("pipe_stand", {"seconds": 30, "rest": 30})).open()
    ready = see(play)
    assert (ready.headline, ready.shape, ready.shown_number(play.state.at)) == (
        "ready", "ready", 30,
    )  # fmt: skip
    play.say("start")
    at = play.state.at
    assert see(play).headline == "get_set"
    assert [see(play).shown_number(at + s) for s in (0, 0.1, 1, 4.99, 5)] == [5, 5, 4, 1, 0]
    play.wait(5)
    assert see(play).headline == "hold"
    assert see(play).shown_number(play.state.at) == 30
    play.wait(12)
    assert see(play).shown_number(play.state.at) == 18
    play.wait(18)
    assert see(play).headline == "rest"
    assert see(play).shown_number(play.state.at + 0.5) == 30


def test_a_step_off_and_a_pause_keep_what_is_left(play_with) -> None:  # type: ignore[no-untyped-def]
    play = play_with(("pipe_stand", {"seconds": 30})).open()
    play.say("start")
    play.wait(15)
    play.say("came_off")
    assert (see(play).shape, see(play).number) == ("off", 20)
    play.say("start")
    play.wait(10)
    assert see(play).shown_number(play.state.at) == 15
    play.say("pause")
    assert (see(play).shape, see(play).number) == ("paused", 15)
    play.say("finish")
    assert see(play).headline == "end_here"
    play.say("no")
    assert see(play).headline == "paused"
    play.say("resume")
    assert see(play).headline == "get_set"


def test_turns_show_how_many_and_the_side(play_with) -> None:  # type: ignore[no-untyped-def]
    play = play_with(("knee_turns", {"per_side": 6})).open()
    play.say("start")
    view = see(play)
    assert (view.headline, view.number, view.unit, view.side) == ("count", 6, "×", "left")
    play.say("done")
    view = see(play)
    assert (view.headline, view.side) == ("switch", "right")
    assert view.shown_number(play.state.at) == 10


def test_a_shared_side_changes_without_stopping(play_with) -> None:  # type: ignore[no-untyped-def]
    play = play_with(("side_walk", {"seconds": 40, "sets": 1})).open()
    play.say("start")
    play.wait(5)
    assert (see(play).headline, see(play).side) == ("move", "left")
    play.wait(20.5)
    assert (see(play).headline, see(play).side) == ("move", "right")
    assert see(play).shown_number(play.state.at) == 20


def test_a_lost_loudspeaker_can_be_seen(play_with) -> None:  # type: ignore[no-untyped-def]
    play = play_with(("pipe_stand", {"seconds": 30})).open()
    play.take(AudioLost(play.state.at, "loudspeaker"))
    assert (see(play).headline, see(play).shape) == ("lost_loudspeaker", "lost")
    play.take(AudioFound(play.state.at, "loudspeaker"))
    assert see(play).headline == "paused"


def test_feeling_unwell_says_to_get_help(play: Play) -> None:
    play.open().say("unwell")
    assert (see(play).headline, see(play).shape) == ("unwell", "stop")


@pytest.fixture
def play() -> Play:
    return Play(small_setting())


@pytest.fixture
def play_with():  # type: ignore[no-untyped-def]
    def make(*blocks: tuple[str, dict[str, int]]) -> Play:
        return Play(small_setting(*(block(id, **target) for id, target in blocks)))

    return make


@pytest.mark.parametrize("seed", range(6))
def test_random_walks_are_always_shown_as_they_are(seed: int) -> None:
    """The number that is counted down to is that of the timer which will end the state."""
    random = Random(seed)
    setting = small_setting(
        block("pipe_stand", seconds=35), block("knee_turns", per_side=5),
        block("side_walk", seconds=40, sets=1), block("pipe_walk", seconds=45, sets=3),
    )  # fmt: skip
    seen: set[str] = set()
    for _ in range(40):
        state, due, shown = opening(setting), {}, None
        event: Event = Started(0.0)
        for _ in range(400):
            decision = decide(setting, state, event)
            state = decision.state
            due |= {e.timer: e.due for e in decision.effects if isinstance(e, StartTimer)}
            shown = next((e for e in reversed(decision.effects) if isinstance(e, Show)), shown)
            view = view_of(setting, state, shown)
            seen.add(view.headline)
            assert view.headline in HEADLINES
            assert view.shape in STYLES
            ends = {Node.COUNTDOWN: "begin", Node.REST: "rest_end", Node.WORK: "end"}
            timer = state.timers.get(ends.get(state.node, ""))
            timed = unit_of(state.current.target) == "seconds"
            if timer is not None and (state.node is not Node.WORK or timed):
                assert view.until == pytest.approx(due[timer])
            number = view.shown_number(state.at)
            if state.node is Node.WORK:
                movement = setting.catalogue.movements[state.current.movement]
                assert number is not None
                assert 0 <= number <= asked(state.current, movement)
            if state.node is Node.ENDED:
                break
            event = some_event(random, state, due)
    assert len(seen) >= 12
