"""Stop, pain, unwell, devices, the power cut, and nobody there."""

from __future__ import annotations

from typing import Any

import pytest

from assistant.session.decide import decide
from assistant.session.events import AudioFound, AudioLost, InputEnded, Resumed
from assistant.session.facts import PainReported, SessionEnded, SetLogged, UnwellReported
from assistant.session.nodes import Node


def test_a_pause_in_a_hold_keeps_its_seconds(play: Any) -> None:
    play.open()
    play.say("start")
    play.spoken()
    play.wait(5 + 10)
    play.say("pause")
    play.spoken()
    play.wait(120)
    play.say("resume")
    play.spoken()
    play.wait(5 + 20)
    (logged,) = [f for f in play.facts() if isinstance(f, SetLogged)]
    assert logged.seconds == 30


def test_stop_ends_the_set_and_keeps_what_was_seen(play: Any) -> None:
    play.open()
    play.say("start")
    play.spoken()
    play.wait(5 + 18)
    play.say("stop")
    assert play.node is Node.PAUSED
    (logged,) = [f for f in play.facts() if isinstance(f, SetLogged)]
    assert (logged.seconds, logged.whole) == (18, False)
    play.say("resume")
    assert play.node is Node.READY
    assert play.state.number == 2


def test_pain_stops_and_goes_on_only_without_the_part(play: Any) -> None:
    play.open()
    play.say("start")
    play.spoken()
    play.wait(5 + 10)
    play.say("pain", part="ankle")
    assert play.node is Node.HURT_LEVEL
    play.say("pain", level=4)
    assert PainReported("ankle", 4, "pipe_stand") in play.facts()
    assert play.node is Node.HURT_CHOICE
    play.say("yes")
    assert play.node is Node.READY
    movement = play.setting.catalogue.movements[play.state.current.movement]
    assert "ankle" not in movement.loads


def test_much_pain_ends_the_session(play: Any) -> None:
    play.open()
    play.say("pain", part="ankle", level=8)
    play.spoken()
    assert play.ended() == "pain"


def test_pain_without_a_place_ends_the_work(play: Any) -> None:
    play.open()
    play.say("pain")
    assert play.node is Node.HURT_PART
    play.spoken()
    play.wait(300)
    assert play.ended() == "pain"


@pytest.mark.parametrize("after", [0, 3, 5, 9, 36, 50])
def test_unwell_always_ends_the_work(play: Any, after: float) -> None:
    play.open()
    play.say("start")
    play.wait(after)
    play.say("unwell")
    assert UnwellReported("pipe_stand") in play.facts()
    assert "unwell.help" in play.lines()
    play.spoken()
    assert play.ended() == "unwell"


def test_a_lost_microphone_pauses_the_hold(play: Any) -> None:
    play.open()
    play.say("start")
    play.spoken()
    play.wait(5 + 7)
    play.take(AudioLost(play.state.at, "microphone"))
    assert play.node is Node.PAUSED
    assert "lost.microphone" in play.lines()
    play.wait(60)
    play.take(AudioFound(play.state.at, "microphone"))
    assert play.state.clock.seconds(play.state.at) == pytest.approx(7)


def test_a_power_cut_in_a_hold_resumes_at_that_hold(play: Any) -> None:
    play.open()
    play.say("start")
    play.spoken()
    play.wait(5 + 16)
    rebuilt = play.replayed()
    assert rebuilt == play.state
    # Only what is on record is known: the last event was 16 s into the hold.
    decision = decide(play.setting, rebuilt, Resumed(rebuilt.at, 300.0))
    assert decision.state.node is Node.PAUSED
    assert decision.state.clock.kept == pytest.approx(16)
    said = [e.line.id for e in decision.effects if hasattr(e, "line")]
    assert said == ["resumed.hello", "resumed.in_hold", "resumed.ask"]


def test_when_input_ends_a_hold_runs_on_and_then_the_session_closes(play: Any) -> None:
    play.open()
    play.say("start")
    play.spoken()
    play.take(InputEnded(play.state.at))
    play.wait(5 + 30 + 30)
    play.spoken()
    assert [f for f in play.facts() if isinstance(f, SetLogged)]
    assert play.ended() == "left"


def test_silence_prompts_then_helps_then_pauses_then_closes(play: Any) -> None:
    play.open()
    play.wait(26)
    assert play.state.silences == 1
    play.wait(31)
    assert play.state.silences == 2
    play.wait(61)
    assert play.node is Node.PAUSED
    play.wait(1000)
    play.spoken()
    assert play.ended() == "left"
    assert isinstance(play.facts()[-1], SessionEnded)
