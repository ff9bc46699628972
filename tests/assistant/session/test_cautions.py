"""No way leads to the work past its cautions, and none to it without its safeguard."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from assistant.session.decide import decide
from assistant.session.effects import Say
from assistant.session.events import AudioLost, Heard, Resumed, SpeechFinished, Started
from assistant.session.facts import (
    CautionsAccepted,
    CautionsHeard,
    PainReported,
    ReturnChosen,
    SafeguardAnswered,
    SetLogged,
    Swapped,
)
from assistant.session.nodes import Node
from catalogue.model import Hazard
from intents.meaning import Meaning
from tests.assistant.session.conftest import Play, block, small_setting

HANG = block("bar_hang", seconds=30)
UP = block("feet_up", seconds=30)
STAND = block("line_stand", seconds=30)


def first_run(*blocks: Any) -> Any:
    return Play(small_setting(*blocks, accepted=False, cautions="1234", first_time=True))


def with_bar(*blocks: Any) -> Any:
    """At the first movement, with nothing wrong and a bar at hand."""
    usual = small_setting(*blocks)
    profile = usual.profile.model_copy(update={"equipment": ("pipe", "bar")})
    play = Play(replace(usual, profile=profile))
    play.take(Started(0.0))
    play.spoken()
    while play.node in (Node.PAIN, Node.ENERGY, Node.EQUIPMENT, Node.AREA):
        play.say("no" if play.node is Node.PAIN else "yes")
        play.spoken()
    return play


def interrupted(*blocks: Any) -> Any:
    """At the first movement, while the coach is still speaking of it."""
    play = Play(small_setting(*blocks))
    play.take(Started(0.0))
    for word in ("no", "yes", "yes", "yes"):
        play.spoken()
        play.say(word)
    assert play.node is Node.READY
    return play


def texts_said(play: Play) -> list[object]:
    return [e.line.values.get("text") for e in play.effects if isinstance(e, Say)]


# the session's own cautions


def test_the_first_run_says_the_cautions_and_waits_until_they_are_accepted() -> None:
    play = first_run(STAND)
    play.take(Started(0.0))
    assert play.node is Node.CAUTIONS
    assert [i for i in play.lines() if "caution" in i] == [
        "open.caution_limits", "open.caution_words", "open.caution_gear", "cautions.ask",
    ]  # fmt: skip
    play.spoken()
    assert play.facts() == [CautionsHeard(None)]
    play.say("yes")
    assert play.node is Node.PAIN
    assert play.facts()[-1] == CautionsAccepted("1234")


def test_yes_before_they_were_heard_in_full_does_not_count() -> None:
    play = first_run(STAND)
    play.take(Started(0.0))
    play.take(SpeechFinished(1.0, play.state.speaking[0], True))
    play.say("yes")
    assert play.node is Node.CAUTIONS
    assert play.lines() == [
        "cautions.early", "open.caution_limits", "open.caution_words", "open.caution_gear",
        "cautions.ask",
    ]  # fmt: skip
    assert play.facts() == []
    play.spoken()
    play.say("yes")
    assert play.node is Node.PAIN


def test_whoever_types_has_read_them() -> None:
    play = first_run(STAND)
    play.take(Started(0.0))
    play.take(Heard(1.0, "yes", (Meaning("yes"),), 1.0, "act", 1.0, typed=True))
    assert play.node is Node.PAIN
    assert play.facts()[:2] == [CautionsHeard(None), CautionsAccepted("1234")]


def test_no_is_no_session() -> None:
    play = first_run(STAND)
    play.take(Started(0.0))
    play.spoken()
    for _ in range(3):
        play.say("no")
        assert play.node is Node.CAUTIONS
        play.spoken()
    play.say("finish")
    play.say("yes")
    play.spoken()
    assert play.ended() == "finished"
    assert not any(isinstance(f, CautionsAccepted | SetLogged) for f in play.facts())


def test_silence_is_no_yes() -> None:
    play = first_run(STAND)
    play.take(Started(0.0))
    play.spoken()
    play.wait(3000)
    play.spoken()
    assert play.ended() == "left"
    assert not any(isinstance(f, CautionsAccepted) for f in play.facts())


@pytest.mark.parametrize(
    "ways",
    [
        ("pause", "next"), ("pause", "skip"), ("pause", "easier"), ("pause", "done"),
        ("stop", "start"), ("finish", "no"), ("start",), ("done",), ("pause", "yes"),
    ],
)  # fmt: skip
def test_no_way_leads_round_them(ways: tuple[str, ...]) -> None:
    play = first_run(STAND)
    play.take(Started(0.0))
    play.spoken()
    for way in ways:
        play.say(way)
        play.spoken()
    assert play.node is Node.CAUTIONS


def test_pain_told_first_is_attended_to_and_the_cautions_still_come() -> None:
    play = first_run(STAND)
    play.take(Started(0.0))
    play.say("pain", part="wrist", level=2)
    assert PainReported("wrist", 2, None) in play.facts()
    play.spoken()
    play.say("no")
    assert play.node is Node.CAUTIONS
    play.spoken()
    play.say("yes")
    assert play.node is Node.PAIN


def test_pain_in_a_pause_leads_back_to_them_too() -> None:
    play = first_run(STAND)
    play.take(Started(0.0))
    play.spoken()
    play.say("pause")
    play.say("pain", part="wrist", level=2)
    play.say("no")
    assert play.node is Node.CAUTIONS


def test_a_restart_asks_again_where_it_broke_off() -> None:
    play = first_run(STAND)
    play.take(Started(0.0))
    play.take(Resumed(play.state.at, 60.0))
    play.spoken()
    play.say("resume")
    assert play.node is Node.CAUTIONS
    assert "open.caution_gear" in play.lines()


def test_once_accepted_they_are_not_asked_about() -> None:
    play = Play(small_setting(STAND, first_time=False))
    play.take(Started(0.0))
    assert play.node is Node.PAIN
    assert "open.caution_short" in play.lines()


# a movement's cautions


def test_every_movement_says_its_cautions_in_full_the_first_time() -> None:
    play = with_bar(HANG)
    assert "Test the bar." in texts_said(play)
    assert CautionsHeard("bar_hang") in play.facts()


@pytest.mark.parametrize("before", [(), ("explain",), ("pause", "resume"), ("cue", "start")])
def test_cut_short_they_come_before_the_set(before: tuple[str, ...]) -> None:
    play = interrupted(block("pipe_stand", seconds=30))
    for word in (*before, "start"):
        play.say(word)
    assert play.lines()[0] == "caution.first"
    assert play.node is Node.READY
    assert CautionsHeard("pipe_stand") not in play.facts()
    play.spoken()
    assert CautionsHeard("pipe_stand") in play.facts()
    assert play.node is Node.COUNTDOWN


def test_the_other_side_does_not_start_past_a_caution_that_was_never_heard() -> None:
    """One side logged by voice, without having heard the caution: the other side waits for it."""
    play = with_bar(HANG, STAND)
    state = play.state
    play.state = state.changed(cautions=frozenset(), caution_tag="say#0", node=Node.READY)
    play.say("log", left=20)
    assert play.node is Node.SWITCH
    play.wait(6, speak=False)
    assert play.node is Node.READY
    assert "Test the bar." in texts_said(play)


# safeguards


def test_hanging_asks_for_a_tested_bar_before_the_first_set() -> None:
    play = with_bar(HANG)
    assert play.node is Node.SAFEGUARD
    play.say("start")
    assert play.node is Node.SAFEGUARD
    play.say("yes")
    assert play.facts()[-1] == SafeguardAnswered("bar_hang", "hanging", True)
    assert play.node is Node.READY
    play.spoken()
    play.say("start")
    assert play.node is Node.COUNTDOWN


def test_it_is_asked_once_for_what_the_work_is_done_on() -> None:
    play = with_bar(HANG, HANG)
    play.say("yes")
    play.spoken()
    play.say("skip")
    assert play.state.block == 1
    assert play.node is Node.READY


def test_no_leads_to_other_work_and_never_to_this() -> None:
    play = with_bar(UP, UP)
    assert play.node is Node.SAFEGUARD
    asked = [e.line.id for e in play.effects if isinstance(e, Say) and "safeguard" in e.line.id]
    assert asked == ["safeguard.inverted"], "upside down is the graver, and asks for the more"
    play.say("no")
    facts = play.new_facts()
    assert facts[0] == SafeguardAnswered("feet_up", "inverted", False)
    assert isinstance(facts[1], Swapped)
    movement = play.setting.catalogue.movements[play.state.current.movement]
    assert Hazard.INVERTED not in movement.hazards
    play.say("skip")
    assert play.state.current.movement != "feet_up", "and not in the next block either"


def test_where_nothing_else_can_be_done_it_is_left_out() -> None:
    play = with_bar(HANG)
    catalogue = play.setting.catalogue
    alone = {"bar_hang": catalogue.movements["bar_hang"]}
    play.setting = replace(
        play.setting, catalogue=catalogue.model_copy(update={"movements": alone})
    )
    play.say("no")
    assert Swapped("bar_hang", None, "lack", "not_hazard") in play.facts()
    play.spoken()
    assert play.ended() == "done"


@pytest.mark.parametrize("silent", [True, False])
def test_neither_silence_nor_a_lost_device_is_a_yes(silent: bool) -> None:
    play = with_bar(HANG)
    if silent:
        play.wait(200)
    else:
        play.take(AudioLost(play.state.at, "microphone"))
    assert play.node is Node.PAUSED
    play.say("resume")
    assert play.node is Node.SAFEGUARD
    assert play.lines()[-1] == "safeguard.hanging"


def test_what_is_there_or_missing_is_no_answer_by_itself() -> None:
    play = with_bar(HANG)
    for word in ("have", "lack"):
        play.say(word, equipment="pipe")
        assert play.node is Node.SAFEGUARD
        assert play.lines()[-1] == "safeguard.hanging"
    play.say("lack", equipment="bar")
    assert play.state.current.movement != "bar_hang" or play.ended() or play.node is not Node.READY


def test_easier_than_what_asks_may_ask_for_nothing() -> None:
    play = with_bar(UP)
    play.say("easier")
    assert play.state.current.movement == "side_walk"
    assert play.node is Node.READY


# after being unwell


def test_a_chosen_return_is_on_record_and_warned_of() -> None:
    setting = small_setting(STAND, returning=True)
    first = decide(setting, Play(setting).state, Started(0.0))
    assert ReturnChosen() in [getattr(e, "fact", None) for e in first.effects]
    assert "open.returning" in [e.line.id for e in first.effects if isinstance(e, Say)]
    again = decide(setting, first.state, Resumed(1.0, 60.0))
    assert ReturnChosen() in [getattr(e, "fact", None) for e in again.effects]
