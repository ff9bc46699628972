"""Whose sound is left: trust is lost where the echo is, and not where somebody speaks louder."""

from __future__ import annotations

import pytest

from assistant.hearing.echo_trust import LOUDER, TURNED_UP, Trust
from assistant.hearing.port import BLOCK, RATE

BLOCKS = RATE / BLOCK
PLAYED, ECHO, NOISE = 0.02, 0.01, 1e-6


def hear(trust: Trust, seconds: float, heard: float, left: float, played: float = PLAYED) -> None:
    for _ in range(round(seconds * BLOCKS)):
        trust.hear(heard, left, played, NOISE, BLOCK / RATE)


@pytest.fixture
def trusted() -> Trust:
    trust = Trust()
    hear(trust, 3.0, ECHO, ECHO / 50)
    assert trust.given
    return trust


def test_an_echo_that_is_left_loses_it(trusted: Trust) -> None:
    hear(trusted, 2.0, ECHO, ECHO)
    assert not trusted.given
    assert trusted.hopeless_for > 0
    hear(trusted, 4.0, ECHO, ECHO / 50)
    assert trusted.given


def test_who_speaks_louder_than_the_coach_does_not(trusted: Trust) -> None:
    hear(trusted, 1.5, ECHO * 20, ECHO * 19)
    assert trusted.given
    assert trusted.hopeless_for == 0.0


def test_who_answers_as_the_coach_has_ended_does_not(trusted: Trust) -> None:
    hear(trusted, 0.4, ECHO / 2, ECHO / 2, played=0.0)
    assert trusted.given, "the coach's last word would still be louder than that"
    hear(trusted, 5.0, ECHO * 2, ECHO * 2, played=0.0)
    assert trusted.given


def test_a_loudspeaker_that_is_turned_up_is_the_coach_after_a_while(trusted: Trust) -> None:
    hear(trusted, TURNED_UP + 1.5, ECHO * 20, ECHO * 20)
    assert not trusted.given
    hear(trusted, 8.0, ECHO * 20, ECHO / 5)
    assert trusted.given
    hear(trusted, 2.0, ECHO * 20, ECHO * 20)
    assert not trusted.given, "that is how loud the coach is now"


def test_before_any_echo_was_taken_out_everything_counts() -> None:
    trust = Trust()
    hear(trust, 1.0, ECHO * 20, ECHO * 20)
    assert not trust.given


def test_a_coach_who_speaks_softly_is_not_expected_louder(trusted: Trust) -> None:
    hear(trusted, 1.5, ECHO * LOUDER, ECHO * LOUDER, played=PLAYED / 20)
    assert trusted.given
