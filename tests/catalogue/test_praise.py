"""Praise follows from what was measured. What counts as clearly more is judgement."""

from __future__ import annotations

import doctest
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue import praise as module
from catalogue.history import History, SetDone
from catalogue.praise import CLEARLY, praise


def done(day, *amounts, off=0, target=40, unit="seconds", pain=False, side="none"):
    return [
        SetDone(day, day, "m", side, target, amount, unit, off if n == 0 else 0, pain=pain)
        for n, amount in enumerate(amounts)
    ]


def said(before, today, planned=2):
    found = praise(History(tuple(before)), today, "m", planned=planned)
    return found and (found.id, {k: v for k, v in found.values.items() if k != "movement"})


def test_examples():
    assert doctest.testmod(module).failed == 0


def test_the_longest_so_far_is_told_with_its_seconds():
    before = [*done(1, 35, 20), *done(3, 20, 20)]
    assert said(before, done(5, 37, 20)) == ("praise_best", {"amount": 37, "unit": "seconds"})


def test_longer_than_last_time_is_told_by_how_much():
    before = [*done(1, 40, 40), *done(3, 20, 24)]
    assert said(before, done(5, 30, 32)) == ("praise_more", {"amount": 9, "unit": "seconds"})


def test_one_is_one():
    before = [*done(1, 9, 9, unit="reps"), *done(3, 4, 4, unit="reps")]
    today = done(5, 5, 5, unit="reps")
    assert said(before, today) == ("praise_more", {"amount": 1, "unit": "reps_one"})


def test_fewer_steps_off_is_told_with_both_numbers():
    before = done(1, 40, 40, off=3)
    assert said(before, done(3, 40, 40, off=1)) == ("praise_steadier", {"steps": 1, "before": 3})


def test_every_set_at_its_target_is_told_when_it_is_new():
    today = done(3, 40, 40)
    told = ("praise_all", {"amount": 40, "unit": "seconds"})
    assert said([], today) == told
    assert said(done(1, 40, 39), today) == told
    assert said(done(1, 40, 40), today) is None
    assert said([], today, planned=3) is None


@pytest.mark.parametrize(
    "today",
    [
        done(3, 20, 22),
        done(3, 21, 22),
        done(3, 19, 18),
        done(3, 50, 50, off=1),
        done(3, 50, 50, pain=True),
        [],
    ],
    ids=["the same", "hardly more", "less", "more, with a step off", "more, with pain", "nothing"],
)
def test_where_nothing_was_better_nothing_is_said(today):
    assert said(done(1, 20, 22), today) is None


def test_one_short_set_is_not_more_than_several():
    """The mean of one set done fresh says nothing about three."""
    before = [*done(1, 50, 10, 10), *done(3, 30, 20, 10)]
    assert said(before, done(5, 30)) is None


def test_another_unit_or_movement_is_nothing_to_compare_with():
    before = [replace(s, movement="other") for s in done(1, 5, 5)] + done(1, 5, 5, unit="reps")
    assert said(before, done(3, 30, 30)) is None


amounts = st.lists(st.integers(1, 60), min_size=1, max_size=4)


@given(amounts, amounts, st.integers(0, 2), st.integers(0, 2))
def test_praise_is_always_true(last, now, off_last, off):
    """Whatever is said can be read off the sets."""
    before, today = done(1, *last, off=off_last), done(3, *now, off=off)
    found = said(before, today)
    if found is None:
        return
    reason, values = found
    if reason == "praise_best":
        assert values["amount"] == max(now) >= max(last) + CLEARLY["seconds"]
    elif reason == "praise_more":
        assert values["amount"] == round(sum(now) / len(now) - sum(last) / len(last)) >= 2
    elif reason == "praise_steadier":
        assert (values["steps"], values["before"]) == (off, off_last)
        assert off < off_last
    else:
        assert min(now) >= values["amount"] > min(last)
    assert off <= off_last
