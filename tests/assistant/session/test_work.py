"""The set itself: countdown, marks, sides, steps off, the log."""

from __future__ import annotations

from typing import Any

from assistant.session.facts import SetLogged
from assistant.session.nodes import Node


def sets(play: Any) -> list[SetLogged]:
    return [f for f in play.facts() if isinstance(f, SetLogged)]


def test_a_hold_is_counted_in_timed_and_logged(play: Any) -> None:
    play.open()
    play.spoken()
    began = play.state.at
    play.say("start")
    assert play.node is Node.COUNTDOWN
    play.wait(5)
    assert play.node is Node.WORK
    assert play.state.clock.since == began + 5
    play.wait(30)
    (logged,) = sets(play)
    assert (logged.seconds, logged.target, logged.source, logged.whole) == (30, 30, "timer", True)
    assert play.node is Node.REST


def test_marks_stand_on_whole_seconds_before_start_and_end(play: Any) -> None:
    play.open()
    began = play.state.at
    play.say("start")
    play.wait(40)
    assert play.beeps()[:4] == [
        ("count", began + 2), ("count", began + 3), ("count", began + 4), ("go", began + 5),
    ]  # fmt: skip
    assert play.beeps()[4:8] == [
        ("count", began + 32), ("count", began + 33), ("count", began + 34), ("end", began + 35),
    ]  # fmt: skip


def test_nothing_is_said_in_the_last_five_seconds(play: Any) -> None:
    play.open()
    play.say("start")
    play.spoken()
    play.wait(5)
    play.wait(25)
    play.effects.clear()
    play.wait(4.9)
    assert play.effects == []


def test_a_caution_heard_before_does_not_hold_up_the_start(play: Any) -> None:
    play.open()
    play.say("back")
    assert play.state.caution_tag is None
    play.say("start")
    assert play.node is Node.COUNTDOWN


def test_start_over_an_unheard_caution_says_it_first(play_with: Any) -> None:
    play = play_with(("pipe_stand", {"seconds": 30}))
    from assistant.session.events import Started

    play.take(Started(0.0))
    play.spoken()
    for word in ("no", "yes", "yes", "yes"):
        play.say(word)
        if play.node is not Node.READY:
            play.spoken()
    assert play.node is Node.READY
    assert play.state.caution_tag is not None
    play.say("start")
    assert play.node is Node.READY
    assert "caution.first" in play.lines()
    play.spoken()
    assert play.node is Node.COUNTDOWN
    assert "pipe_stand" in play.state.cautions


def test_coming_off_stops_the_clock_and_going_on_adds_up(play: Any) -> None:
    play.open()
    play.say("start")
    play.spoken()
    play.wait(5 + 12)
    play.say("came_off")
    assert play.node is Node.OFF
    assert "off.at" in play.lines()
    play.spoken()
    play.wait(10)
    play.say("start")
    play.spoken()
    play.wait(5 + 18)
    (logged,) = sets(play)
    assert logged.seconds == 30
    assert logged.came_off == 1


def test_the_second_step_off_offers_the_regression(play: Any) -> None:
    play.open()
    for _ in range(2):
        play.say("start")
        play.spoken()
        play.wait(5 + 6)
        play.say("came_off")
    assert "off.offer" in play.lines()
    play.say("easier")
    assert play.state.current.movement == "line_stand"
    assert play.node is Node.READY
    (logged,) = sets(play)
    assert (logged.seconds, logged.whole, logged.came_off) == (12, False, 2)


def test_done_at_once_logs_nothing(play: Any) -> None:
    play.open()
    play.say("start")
    play.spoken()
    play.wait(5)
    play.say("done")
    assert sets(play) == []
    assert play.node is Node.READY


def test_turns_are_counted_on_each_side(play_with: Any) -> None:
    play = play_with(("knee_turns", {"per_side": 5})).open()
    play.say("start")
    assert play.node is Node.WORK
    play.say("done")
    assert play.node is Node.SWITCH
    play.wait(5)
    assert (play.node, play.state.side) == (Node.WORK, "right")
    play.say("log", reps=4)
    assert [(s.side, s.reps, s.source) for s in sets(play)] == [
        ("left", 5, "target"), ("right", 4, "said"),
    ]  # fmt: skip


def test_shared_sides_change_half_way_without_stopping(play_with: Any) -> None:
    play = play_with(("side_walk", {"seconds": 40, "sets": 1})).open()
    began = play.state.at
    play.say("start")
    play.spoken()
    play.wait(5 + 20)
    assert (play.node, play.state.side) == (Node.WORK, "right")
    assert "switch.now" in [e.line.id for e in play.effects if hasattr(e, "line")]
    play.wait(20)
    assert [(s.side, s.seconds) for s in sets(play)] == [("left", 20), ("right", 20)]
    assert play.state.at == began + 45


def test_the_weaker_side_does_one_more_set(play_with: Any) -> None:
    from catalogue.plan import Block

    play = play_with(("knee_turns", {"per_side": 5, "sets": 1}))
    block: Block = play.state.blocks[0].model_copy(update={"extra_side": "right"})
    play.state = play.state.__class__(
        blocks=(block,), origin=(block,), conditions=play.state.conditions, accepted=True
    )
    play.open()
    for _ in range(2):
        play.say("start")
        play.say("done")
        play.wait(5)
        if play.node is Node.WORK:
            play.say("done")
        play.wait(40)
    assert [s.side for s in sets(play)] == ["left", "right", "right"]
    assert play.node in (Node.EFFORT, Node.SESSION_EFFORT, Node.REST)
