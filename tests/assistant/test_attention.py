"""May this act? Every rule between an utterance and the session, one by one."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from assistant.attention import (
    ECHO_TAIL,
    REPEAT_GUARD,
    STEADY,
    STOP_OVER_COACH,
    Attention,
)
from assistant.coach import Coach
from assistant.files import builtin_catalogue
from assistant.hearing.port import OVER_COACH, PREROLL, Utterance
from assistant.session.nodes import Node
from assistant.session.scopes import scope_at
from intents.understand import ASK

READY = scope_at(Node.READY)


@cache
def coach() -> Coach:
    return Coach.of(builtin_catalogue(), "en")


def attention(*said: tuple[str, float, float]) -> Attention:
    """One that knows what the coach said from when to when."""
    return Attention(
        coach().understander,
        lambda at: [text for text, began, end in said if began <= at <= end + ECHO_TAIL],
    )


def heard(
    text: str,
    confidence: float = 1.0,
    began: float = 10.0,
    final: bool = True,
    rejected: bool = False,
) -> Utterance:
    return Utterance(text, (), confidence, began, began + 0.5, final, "test", rejected)


def decided(judge: Attention, utterance: Utterance, at: float = 10.7) -> tuple[str, list[str]]:
    event = judge.judge(utterance, READY, at)
    return ("", []) if event is None else (event.decision, [m.id for m in event.meanings])


def test_a_phrase_in_scope_acts_and_what_the_recogniser_rejects_does_not() -> None:
    assert decided(attention(), heard("next")) == ("act", ["next"])
    assert decided(attention(), heard("next", rejected=True)) == ("pass", [])


def test_only_an_instant_command_acts_before_its_end_and_only_once_it_stood() -> None:
    judge = attention()
    assert judge.judge(heard("next", final=False), READY, 10.4) is None
    assert judge.ripe_at is None
    assert judge.judge(heard("stop", final=False), READY, 10.4) is None
    assert judge.ripe(READY, 10.4 + STEADY / 2) is None
    event = judge.ripe(READY, 10.4 + STEADY)
    assert event is not None
    assert [m.id for m in event.meanings] == ["stop"]
    assert judge.judge(heard("stop"), READY, 10.8) is None, "its end has acted already"


def test_a_partial_that_goes_on_does_not_act() -> None:
    judge = attention()
    judge.judge(heard("stop", final=False), READY, 10.4)
    judge.judge(heard("start", final=False), READY, 10.45)
    assert judge.ripe(READY, 11.0) is None


def test_the_coach_s_own_words_are_an_echo_but_stop_never_is() -> None:
    judge = attention(("Say start when you are ready.", 9.0, 10.4))
    assert decided(judge, heard("start")) == ("", [])
    assert decided(judge, heard("stop", STOP_OVER_COACH)) == ("act", ["stop"])
    soon = 10.4 + ECHO_TAIL - PREROLL
    assert decided(judge, heard("start", began=soon - 0.01), 12.0) == ("", [])
    assert decided(judge, heard("start", began=soon + 0.01), 12.0) == ("act", ["start"])


def test_what_is_said_over_the_coach_must_be_surer() -> None:
    judge = attention(("Ten more seconds.", 9.0, 12.0))
    assert decided(judge, heard("next", OVER_COACH - 0.01)) == ("pass", [])
    assert decided(judge, heard("next", OVER_COACH)) == ("act", ["next"])
    assert decided(attention(), heard("next", OVER_COACH - 0.01)) == ("act", ["next"])
    unsure = replace(heard("easier", OVER_COACH), over_coach=0.97)
    assert decided(judge, unsure, 12.5) == ("pass", [])
    assert decided(judge, replace(unsure, confidence=0.97))[0] == "act"
    assert decided(judge, heard("stop", STOP_OVER_COACH - 0.01), 13.0) == ("pass", [])
    assert decided(attention(), heard("stop", 0.4)) == ("act", ["stop"])


def test_over_the_coach_only_stop_acts_before_its_end() -> None:
    judge = attention(("Ten more seconds.", 9.0, 12.0))
    judge.judge(heard("that hurts", final=False), READY, 10.4)
    assert judge.ripe_at is None
    judge.judge(heard("stop", final=False), READY, 10.4)
    assert judge.ripe_at == 10.4 + STEADY
    quiet = attention()
    quiet.judge(heard("that hurts", final=False), READY, 10.4)
    assert quiet.ripe_at is not None


def test_a_command_heard_twice_within_a_moment_was_said_once() -> None:
    judge = attention()
    assert decided(judge, heard("next"))[0] == "act"
    soon = heard("next", began=10.5 + REPEAT_GUARD / 2)
    assert decided(judge, soon, 11.5) == ("", [])
    assert decided(judge, heard("next", began=20.0), 20.7)[0] == "act"


def test_after_stop_only_what_is_sure_counts_for_a_moment() -> None:
    judge = attention()
    assert decided(judge, heard("stop"))[0] == "act"
    soon = 10.5 + REPEAT_GUARD / 2
    assert decided(judge, heard("next", ASK, began=soon), 11.6) == ("", [])
    assert decided(judge, heard("finish", began=soon), 11.7) == ("confirm", ["finish"])
    assert decided(judge, heard("stop", began=13.0), 13.7)[0] == "act"
    assert decided(judge, heard("my wrist hurts", ASK, began=13.9), 14.6) == ("act", ["pain"])
    assert decided(judge, heard("easier", ASK, began=20.0), 20.7)[0] == "confirm"


def test_who_answers_as_the_coach_ends_is_not_said_over_him() -> None:
    answer = heard("next", OVER_COACH - 0.01)
    ends = answer.began + PREROLL - ECHO_TAIL
    assert decided(attention(("Ready?", 9.0, ends - 0.01)), answer) == ("act", ["next"])
    assert decided(attention(("Ready?", 9.0, ends + 0.01)), answer) == ("pass", [])


def test_what_the_coach_begins_upon_must_be_surer_but_is_no_echo() -> None:
    sure, unsure = heard("next"), heard("next", OVER_COACH - 0.01)
    voice = sure.began + PREROLL
    assert decided(attention(("We end here.", voice, voice + 2)), unsure) == ("pass", [])
    assert decided(attention(("We end here.", sure.ended, 13.0)), unsure) == ("pass", [])
    assert decided(attention(("We end here.", sure.ended + 0.1, 13.0)), unsure)[0] == "act"
    assert decided(attention(("Next, the wall.", voice, voice + 2)), sure) == ("", [])
    assert decided(attention(("Next, the wall.", voice + 0.1, 13.0)), sure)[0] == "act"
