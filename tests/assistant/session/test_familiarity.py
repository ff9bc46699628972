"""Less is said of a movement by itself as the athlete gets to know it."""

from __future__ import annotations

import doctest

import pytest

from assistant.session.decide import decide
from assistant.session.effects import Say
from assistant.session.events import Heard
from assistant.session.nodes import Node
from catalogue import familiarity
from catalogue.familiarity import FORGOTTEN_AFTER, KNOWN_AFTER
from catalogue.history import History, SetDone
from intents.meaning import Meaning
from tests.assistant.session.conftest import Play, block, small_setting

TODAY = 400


def done(sessions: int, ago: int = 1, movement: str = "pipe_stand") -> History:
    """Two sets in each of so many sessions, the last one `ago` days before today."""
    days = [TODAY - ago - 2 * number for number in range(sessions)]
    return History(tuple(SetDone(day, day, movement) for day in days for _ in range(2)))


def introduced(history: History, cautions: frozenset[str] = frozenset()) -> list[str]:
    """What is said of the pipe stand before its start, lines or their texts."""
    setting = small_setting(
        block("pipe_stand", seconds=30), history=history, day=TODAY, cautions_heard=cautions
    )
    play = Play(setting)
    play.open()
    says = [e.line for e in play.effects if isinstance(e, Say)]
    first = next(i for i, line in enumerate(says) if line.id == "block.name")
    return [str(line.values.get("text", line.id)) for line in says[first:]]


SET_UP, FIRST, SECOND = (
    "Stand on it with both feet.",
    "Look at a far spot.",
    "Press the floor away.",
)


def test_examples() -> None:
    assert doctest.testmod(familiarity).failed == 0


def test_a_new_movement_is_told_in_full() -> None:
    assert introduced(History()) == [
        "block.name", "Only on a rigid pipe.", SET_UP, "dose.hold", FIRST, SECOND, "ready.ask",
    ]  # fmt: skip


@pytest.mark.parametrize("sessions", range(KNOWN_AFTER + 2))
def test_a_known_one_is_named_dosed_and_has_one_cue(sessions: int) -> None:
    said = introduced(done(sessions))
    if sessions < KNOWN_AFTER:
        assert SET_UP in said
        assert SECOND in said
    else:
        assert said == [
            "block.name", "Only on a rigid pipe.", "dose.hold", FIRST, "ready.ask",
        ]  # fmt: skip


def test_sessions_count_and_not_sets() -> None:
    many = History(tuple(SetDone(TODAY - 1, 1, "pipe_stand") for _ in range(10)))
    assert SET_UP in introduced(many)


def test_another_movement_makes_it_no_better_known() -> None:
    assert SET_UP in introduced(done(9, movement="pipe_walk"))


@pytest.mark.parametrize("ago", [FORGOTTEN_AFTER, FORGOTTEN_AFTER + 1])
def test_after_a_long_break_it_is_told_in_full_again(ago: int) -> None:
    assert (SET_UP in introduced(done(8, ago))) is (ago > FORGOTTEN_AFTER)


def test_cautions_do_not_follow_from_habit() -> None:
    """However well it is known: the caution is said in full until it was heard once, and short
    ever after."""
    for heard in (frozenset[str](), frozenset({"pipe_stand"})):
        assert "Only on a rigid pipe." in introduced(done(20), heard)


def test_explain_tells_the_set_up_whenever_it_is_wanted() -> None:
    setting = small_setting(block("pipe_stand", seconds=30), history=done(9), day=TODAY)
    play = Play(setting).open()
    assert play.state.node is Node.READY
    decision = decide(
        setting, play.state, Heard(play.state.at, "explain", (Meaning("explain"),), 1.0, "act", 0.0)
    )
    texts = [e.line.values.get("text") for e in decision.effects if isinstance(e, Say)]
    assert SET_UP in texts


def test_the_second_cue_is_kept_for_later() -> None:
    """What was not said before the set is what "cue" says first."""
    setting = small_setting(block("pipe_stand", seconds=30), history=done(9), day=TODAY)
    play = Play(setting).open()
    play.say("cue")
    assert [e.line.values["text"] for e in play.last if isinstance(e, Say)] == [SECOND]
