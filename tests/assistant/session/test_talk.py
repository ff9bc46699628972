"""How the coach speaks: how much, in which way, with which voice, and what is praised."""

from __future__ import annotations

import pytest

from assistant.coach import lines_of
from assistant.session.effects import Effect, Say, SetVoice
from assistant.session.facts import Chosen
from assistant.session.nodes import Node
from assistant.session.state import opening
from assistant.session.step import Step
from catalogue.history import History, SetDone
from intents.lines import Line
from tests.assistant.session.conftest import Play, block, small_setting

LINES = lines_of("en")


def says(effects: tuple[Effect, ...] | list[Effect]) -> list[Line]:
    return [e.line for e in effects if isinstance(e, Say)]


def texts(play: Play) -> list[str]:
    return [LINES.render(line) for line in says(play.effects)]


def play_of(**more: object) -> Play:
    return Play(small_setting(block("pipe_stand", seconds=40), **more))


# how much


def test_less_and_more_walk_the_levels_and_go_on_record(play: Play) -> None:
    play.open()
    for word, level in (("less", "brief"), ("more", "usual"), ("more", "full")):
        play.say(word)
        assert play.state.detail == level
        assert play.new_facts() == [Chosen("detail", level)]
        assert play.lines() == [f"detail.{level}"]
    play.say("more")
    assert play.lines() == ["detail.more_end"]
    assert play.new_facts() == []


@pytest.mark.parametrize("detail", ["brief", "usual", "full"])
def test_the_session_begins_as_was_last_asked_for(detail: str) -> None:
    assert play_of(detail=detail).state.detail == detail


def test_less_is_said_from_the_next_movement_on() -> None:
    usual, less = Play(small_setting()).open(), Play(small_setting()).open()
    less.say("less")
    for play in (usual, less):
        play.spoken()
        play.say("skip")
    assert less.lines().count("text") < usual.lines().count("text")


def test_at_the_lowest_level_nothing_is_said_in_a_hold_but_the_count() -> None:
    play = play_of(detail="brief").open()
    play.say("start")
    play.spoken()
    play.wait(5)
    assert play.node is Node.WORK
    seen = len(play.effects)
    play.wait(39)
    assert [line.id for line in says(play.effects[seen:])] == ["work.ten"]


def test_cautions_are_said_at_every_level() -> None:
    for detail in ("brief", "usual", "full"):
        assert "Only on a rigid pipe." in texts(play_of(detail=detail).open())


# in which way


def test_two_sessions_do_not_start_alike() -> None:
    openings = [texts(play_of(seed=seed).open())[0] for seed in range(3)]
    assert len(set(openings)) == 3


def test_a_replay_says_the_same() -> None:
    one, two = (play_of(seed=7).open() for _ in range(2))
    assert texts(one) == texts(two)
    assert one.replayed() == one.state


def test_ways_to_say_a_line_take_turns() -> None:
    setting, ways = small_setting(), LINES.lines["ready.ask"]
    step = Step(setting, opening(setting), 0.0)
    for _ in range(2 * len(ways)):
        step.say("ready.ask")
    said = [LINES.render(line) for line in says(step.effects)]
    assert set(said) == set(ways)
    assert said[: len(ways)] == said[len(ways) :]


def test_said_again_is_said_in_the_same_words(play: Play) -> None:
    play.open()
    first = [LINES.render(line) for line in play.state.last_said]
    play.say("repeat")
    assert [LINES.render(line) for line in says(play.last)] == first


# with which voice


def test_another_voice_is_the_next_one_there_is() -> None:
    play = play_of(voices=("standard", "natural")).open()
    for voice in ("natural", "standard"):
        play.say("other_voice")
        assert play.state.voice == voice
        assert [e.voice for e in play.last if isinstance(e, SetVoice)] == [voice]
        assert play.new_facts() == [Chosen("voice", voice)]
        assert play.lines() == ["voice.other"]


def test_where_there_is_no_other_voice_nothing_changes(play: Play) -> None:
    play.open()
    play.say("other_voice")
    assert play.lines() == ["voice.only"]
    assert play.new_facts() == []


def test_loudness_and_rate_go_on_record_as_far_as_they_go() -> None:
    play = play_of(volume=0.9, rate=280).open()
    for word, fact in (("louder", Chosen("volume", "1.0")), ("faster", Chosen("rate", "300"))):
        play.say(word)
        assert play.new_facts() == [fact]
        assert play.lines() == [f"voice.{word}"]
        play.say(word)
        assert play.new_facts() == []
        assert play.lines() == [f"voice.{word}_end"]


def test_the_session_begins_as_loud_and_as_fast_as_was_last_asked_for() -> None:
    state = play_of(volume=0.3, rate=120).state
    assert (state.volume, state.rate) == (0.3, 120)


def test_louder_keeps_the_voice() -> None:
    play = play_of(voices=("standard", "natural"), voice="natural").open()
    play.say("quieter")
    assert [e.voice for e in play.last if isinstance(e, SetVoice)] == ["natural"]


# praise


def held(seconds: float, off: int = 0) -> History:
    done = SetDone(390, 1, "pipe_stand", target=40, amount=seconds, came_off=off)
    return History((done, done))


def praised(play: Play) -> list[str]:
    """What is said of both sets, held to their ends."""
    play.open()
    for _ in range(2):
        play.say("start")
        play.spoken()
        play.wait(5 + 40 + 30)
    return [line.id for line in says(play.effects) if line.id.startswith("reason.praise")]


def test_more_than_ever_is_praised_once_at_the_end_of_the_movement() -> None:
    play = play_of(history=held(30), day=400)
    assert praised(play) == ["reason.praise_best"]
    said = next(line for line in says(play.effects) if line.id == "reason.praise_best")
    assert said.values["amount"] == 40


def test_without_anything_better_there_is_no_praise() -> None:
    play = play_of(history=held(40), day=400)
    assert praised(play) == []


def test_the_first_time_is_praised_where_every_set_was_whole() -> None:
    assert praised(play_of()) == ["reason.praise_all"]


def test_no_line_praises_by_itself() -> None:
    """The coach's fixed lines hold no praise: what is praised is measured."""
    words = ("well done", "great", "good job", "excellent", "perfect", "amazing", "bravo", "nice")
    for id, variants in LINES.lines.items():
        for text in variants:
            assert not any(word in text.casefold() for word in words), id
