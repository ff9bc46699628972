"""Certainty: one number out of six, that goes where each of them points."""

import doctest
import tomllib
from importlib import resources

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some

from assistant.hearing import certainty as module
from assistant.hearing.certainty import BOUNDS, certainty, told
from assistant.hearing.phrase_search import Reading

POINTS = (1, 1, 1, -1, -1, 1)
"""For a phrase speaks that it is likely, heard and ahead, against it what else was heard, and for
it that there was a voice."""

BEST, WORST = (0.0, 30.0, 6.0, 0.0, 0.0, 1.0), (-20.0, -5.0, -6.0, 1.0, 1.0, 0.0)

finite = some.floats(-1e6, 1e6)


def sure(
    likely: float, heard: float, lead: float, strict: float, free: float, voice: float = 1.0
) -> float:
    return certainty().of(told(Reading(("stop",), likely, heard, lead), strict, free, voice))


def test_the_example() -> None:
    assert doctest.testmod(module).failed == 0


def test_the_file_has_a_number_for_each_thing_and_what_it_begins_from() -> None:
    text = resources.files("assistant.hearing").joinpath("certainty.toml").read_text("utf-8")
    table = tomllib.loads(text)
    assert set(table) == {"weights", "offset"}
    assert len(table["weights"]) == len(BOUNDS) == len(POINTS)
    assert np.isfinite([*table["weights"], table["offset"]]).all()
    assert (np.sign(table["weights"]) * POINTS >= 0).all()
    assert certainty().weights == tuple(table["weights"])


@given(some.tuples(*[finite] * 6), some.integers(0, 5), finite)
def test_it_is_a_share_that_goes_where_each_thing_points(
    things: tuple[float, ...], which: int, other: float
) -> None:
    changed = list(things)
    changed[which] = other
    here, there = sure(*things), sure(*changed)
    assert 0.0 <= here <= 1.0
    if (other - things[which]) * POINTS[which] > 0:
        assert there >= here - 1e-12


@given(some.tuples(*[finite] * 6))
def test_beyond_the_bounds_nothing_more_is_said(
    things: tuple[float, ...],
) -> None:
    within = [min(max(x, low), high) for x, (low, high) in zip(things, BOUNDS, strict=True)]
    assert sure(*things) == sure(*within)
    assert sure(*WORST) <= sure(*things) <= sure(*BEST)


def test_a_phrase_without_another_is_ahead_and_infinity_does_no_harm() -> None:
    assert sure(-1.0, 20.0, np.inf, 0.0, 0.0) == sure(-1.0, 20.0, 6.0, 0.0, 0.0)


def test_nothing_for_it_is_none_and_everything_for_it_is_one() -> None:
    assert sure(*BEST) > 0.99
    assert sure(*WORST) < 0.01
    # As much for it as against: a likely phrase of which neither decoder heard a sound.
    assert sure(-1.0, 20.0, 6.0, 1.0, 1.0) < sure(-1.0, 20.0, 6.0, 0.2, 0.2)
    # Everything for it but a voice.
    assert sure(-2.0, 12.0, 4.0, 0.2, 0.2, 0.8) < sure(-2.0, 12.0, 4.0, 0.2, 0.2, 1.0) - 0.01
    assert told(Reading(("no",), -3.0, 4.0, 2.0), 0.25, 0.5, 0.9) == pytest.approx(
        [-3.0, 4.0, 2.0, 0.25, 0.5, 0.9]
    )
