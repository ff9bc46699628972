"""What long random walks found once, each as the shortest way there."""

from __future__ import annotations

from typing import Any

import pytest

from assistant.session.facts import SetCorrected, SetLogged, Swapped
from assistant.session.nodes import Node
from assistant.session.state import opening
from assistant.session.step import Step
from tests.assistant.session.conftest import Play


def logged(play: Play) -> list[SetLogged]:
    return [fact for fact in play.facts() if isinstance(fact, SetLogged)]


def at_pain(play: Play) -> Play:
    """At the first question of the check-in."""
    play.open()
    fresh = Play(play.setting)
    for event in play.events:
        fresh.take(event)
        if fresh.node is Node.PAIN and not fresh.state.speaking:
            return fresh
    raise AssertionError("pain is not asked about")


def test_a_pause_does_not_lead_past_the_check_in(play: Play) -> None:
    for word in ("skip", "next", "easier"):
        asked = at_pain(play)
        asked.say("pause")
        asked.say(word)
        assert asked.node is Node.PAIN
        assert not [f for f in asked.facts() if isinstance(f, Swapped)]
    asked = at_pain(play)
    asked.say("pause")
    asked.say("pain", part="wrist", level=2)
    assert asked.node is Node.PAIN_MORE


def test_a_set_that_is_not_begun_has_no_time_on_it(play: Play) -> None:
    play.open().say("start")
    play.wait(5.4)
    assert play.node is Node.WORK
    play.say("done")
    play.spoken()
    assert play.node is Node.READY
    play.wait(10)
    play.say("pause")
    play.wait(10)
    play.say("resume")
    play.say("start")
    play.wait(5 + 29)
    assert play.node is Node.WORK, "the hold was shortened by time that nobody held"


def test_time_held_waits_through_a_countdown_that_fails(play: Play) -> None:
    play.open().say("start")
    play.wait(5 + 10)
    play.say("came_off")
    play.say("start")
    play.say("came_off")
    assert play.node is Node.OFF
    assert round(play.state.clock.kept) == 10


def test_what_was_done_is_not_called_skipped(play: Play) -> None:
    play.open()
    for _ in range(2):
        play.say("start")
        play.wait(5 + 30)
        play.spoken()
        if play.node is Node.REST and play.state.number == 1:
            play.say("next")
            play.spoken()
    play.say("no")
    assert play.node is Node.REST
    play.say("skip")
    (skipped,) = [f for f in play.facts() if isinstance(f, Swapped)]
    assert skipped.before == "knee_turns"


def test_the_other_side_waiting_in_a_pause_is_not_done(play_with: Any) -> None:
    play = play_with(("knee_turns", {"per_side": 5})).open()
    play.say("start")
    play.say("done")
    assert play.node is Node.SWITCH
    play.say("pause")
    play.say("done")
    assert [fact.side for fact in logged(play)] == ["left"]


def test_equipment_found_in_a_set_does_not_change_what_is_done(play_with: Any) -> None:
    play = play_with(("pipe_stand", {"seconds": 30})).open()
    play.say("easier")
    play.spoken()
    play.say("start")
    play.wait(5 + 10)
    play.say("have", equipment="pipe")
    play.say("done")
    assert [fact.movement for fact in logged(play)] == ["line_stand"]


def test_a_correction_is_in_the_unit_of_its_set(play_with: Any) -> None:
    play = play_with(("pipe_walk", {"metres": 9, "sets": 2})).open()
    play.say("start")
    play.say("done")
    play.spoken()
    play.say("next")
    play.spoken()
    play.say("easier")
    play.spoken()
    assert play.state.current.target.seconds is not None
    play.say("pause")
    play.say("log", metres=7)
    (corrected,) = [f for f in play.facts() if isinstance(f, SetCorrected)]
    assert (corrected.metres, corrected.seconds) == (7, None)


def test_no_state_has_fields_that_are_none(play: Play) -> None:
    step = Step(play.setting, opening(play.setting), 0.0)
    with pytest.raises(TypeError, match="blok"):
        step.set(blok=1)
