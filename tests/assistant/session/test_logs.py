"""The log by voice: corrections, sides, effort, undo."""

from __future__ import annotations

from typing import Any

from assistant.session.facts import CorrectionUndone, EffortLogged, SetCorrected, SetUndone
from assistant.session.nodes import Node
from intents.meaning import Meaning


def one_set(play: Any) -> None:
    play.open()
    play.say("start")
    play.spoken()
    play.wait(35)
    play.spoken()


def test_a_correction_appends_and_undo_takes_it_back(play: Any) -> None:
    one_set(play)
    play.say("log", seconds=24)
    assert play.new_facts() == [SetCorrected(1, seconds=24.0)]
    assert play.state.sets[-1].amount == 24
    play.say("undo")
    assert play.new_facts() == [CorrectionUndone(1)]
    assert play.state.sets[-1].amount == 30
    play.say("undo")
    assert play.new_facts() == [SetUndone(1)]
    assert play.node is Node.READY
    assert play.state.number == 1
    play.say("undo")
    assert play.lines() == ["undo.nothing"]


def test_the_wrong_unit_is_told(play: Any) -> None:
    one_set(play)
    play.say("log", reps=5)
    assert play.lines() == ["log.counts_seconds"]
    assert play.new_facts() == []


def test_both_sides_are_corrected_at_once(play_with: Any) -> None:
    play = play_with(("knee_turns", {"per_side": 5})).open()
    play.say("start")
    play.say("done")
    play.wait(5)
    play.say("done")
    play.spoken()
    play.say("log", left=6, right=4)
    assert play.new_facts() == [SetCorrected(1, reps=6), SetCorrected(2, reps=4)]


def test_log_and_effort_in_one_breath(play: Any) -> None:
    one_set(play)
    play.hear([Meaning("log", {"seconds": 38}), Meaning("effort", {"rpe": 7})])
    assert play.new_facts() == [SetCorrected(1, seconds=38.0), EffortLogged("pipe_stand", 7)]


def test_effort_is_asked_after_the_last_set_unless_it_was_said(play_with: Any) -> None:
    play = play_with(("line_stand", {"seconds": 30, "sets": 1}),
                     ("pipe_stand", {"seconds": 30}))  # fmt: skip
    one_set(play)
    assert play.node is Node.EFFORT
    play.say("effort", rpe=6)
    assert play.new_facts() == [EffortLogged("line_stand", 6)]
    assert play.node is Node.REST


def test_log_before_any_set_logs_the_present_one(play: Any) -> None:
    play.open()
    play.say("log", seconds=28)
    (logged,) = play.new_facts()
    assert (logged.seconds, logged.source) == (28.0, "said")
    assert play.node is Node.REST
