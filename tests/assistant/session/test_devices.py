"""A device that goes, and comes back: the session waits, tells what stands, and goes on."""

from __future__ import annotations

from typing import Any

import pytest

from assistant.session.effects import Say, Show
from assistant.session.events import AudioFound, AudioLost, Started
from assistant.session.facts import SetLogged
from assistant.session.nodes import Node
from tests.assistant.session.conftest import Play

DEVICES = ("microphone", "loudspeaker", "computer")


def in_a_hold(play: Play, seconds: float = 7) -> Play:
    play.open()
    play.say("start")
    play.spoken()
    play.wait(5 + seconds)
    assert play.node is Node.WORK
    return play


def said(play: Play) -> list[tuple[str, object]]:
    return [(e.line.id, e.line.values.get("seconds")) for e in play.last if isinstance(e, Say)]


def shown(play: Play) -> str:
    return [e.headline for e in play.effects if isinstance(e, Show)][-1]


@pytest.mark.parametrize("device", DEVICES)
def test_a_hold_waits_says_where_it_stands_and_ends_as_asked(play: Play, device: str) -> None:
    in_a_hold(play)
    play.take(AudioLost(play.state.at, device))
    assert play.node is Node.PAUSED
    assert said(play) == [(f"lost.{device}", None), ("paused.in_hold", 7)]
    assert shown(play) == f"lost_{device}"
    play.wait(100)
    if device != "computer":
        play.take(AudioFound(play.state.at, device))
        assert said(play) == [(f"found.{device}", None), ("paused.in_hold", 7)]
        assert shown(play) == "paused"
    play.say("resume")
    play.spoken()
    play.wait(5 + 23)
    (logged,) = [f for f in play.facts() if isinstance(f, SetLogged)]
    assert (logged.seconds, logged.whole) == (30, True)


@pytest.mark.parametrize("device", DEVICES)
def test_given_up_after_it_the_hold_is_logged_as_what_was_seen(play: Play, device: str) -> None:
    in_a_hold(play)
    play.take(AudioLost(play.state.at, device))
    play.wait(50)
    play.say("done")
    (logged,) = [f for f in play.facts() if isinstance(f, SetLogged)]
    assert (logged.seconds, logged.whole) == (7, False)


@pytest.mark.parametrize("device", DEVICES)
@pytest.mark.parametrize("loses", range(1, 12))
def test_lost_anywhere_it_pauses_and_goes_on_there(play: Play, device: str, loses: int) -> None:
    """From the first question to the rest after the first set."""
    play.take(Started(0.0))
    ways = ("no", "yes", "yes", "yes", "start", "", "", "came_off", "start", "done", "")
    for way in ways[:loses]:
        play.spoken()
        if way:
            play.say(way)
        else:
            play.wait(4)
    before = play.state
    play.take(AudioLost(before.at, device))
    assert play.node is Node.PAUSED
    assert play.state.clock.since is None
    play.spoken()
    play.take(AudioFound(play.state.at + 20, device))
    play.say("resume")
    after = {Node.COUNTDOWN, Node.WORK} if before.node is Node.WORK else {before.node}
    assert play.node in after | {Node.COUNTDOWN} if before.node is Node.COUNTDOWN else after
    assert play.state.clock.seconds(play.state.at) == pytest.approx(
        before.clock.seconds(before.at), abs=0.01
    )
    assert play.state.sets == before.sets


def test_with_both_gone_it_waits_for_both(play: Play) -> None:
    in_a_hold(play)
    play.take(AudioLost(play.state.at, "microphone"))
    play.take(AudioLost(play.state.at, "loudspeaker"))
    play.take(AudioFound(play.state.at + 5, "microphone"))
    assert shown(play) == "lost_loudspeaker"
    assert said(play) == [("lost.loudspeaker", None)]
    play.take(AudioFound(play.state.at + 5, "loudspeaker"))
    assert shown(play) == "paused"
    assert said(play)[0] == ("found.loudspeaker", None)


def test_a_device_that_never_comes_back_ends_in_a_session_on_record(play: Play) -> None:
    in_a_hold(play)
    play.take(AudioLost(play.state.at, "microphone"))
    play.wait(1000)
    play.spoken()
    assert play.ended() == "left"


def test_a_flapping_device_loses_nothing(play: Play) -> None:
    in_a_hold(play)
    for _ in range(50):
        play.take(AudioLost(play.state.at + 0.5, "microphone"))
        play.take(AudioFound(play.state.at + 0.5, "microphone"))
    assert play.state.clock.kept == pytest.approx(7.5)
    assert not [f for f in play.facts() if isinstance(f, SetLogged)]


def test_in_the_summary_a_lost_device_changes_nothing(play: Any) -> None:
    play.open()
    play.say("finish")
    play.say("yes")
    assert play.node is Node.CLOSING
    play.take(AudioLost(play.state.at, "loudspeaker"))
    play.spoken()
    assert play.ended() == "finished"
