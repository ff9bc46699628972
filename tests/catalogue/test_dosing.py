from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.dosing import amount_of, for_one_side, range_of, target_for, with_amount
from catalogue.model import Sides

KINDS = ("hold", "work", "reps", "reps_per_side", "distance")


def _of_kind(make, kind, span=(5, 9)):
    sides = {"sides": "each"} if kind == "reps_per_side" else {}
    return make.movement("m", kind=kind, span=span, sets=3, rest=20, **sides)


@pytest.mark.parametrize("kind", KINDS)
def test_a_first_target_is_the_bottom_of_the_range_with_the_coachs_sets(make, kind):
    movement = _of_kind(make, kind)
    target = target_for(movement)
    assert (amount_of(target), target.sets, target.rest) == (5, 3, 20)
    assert range_of(movement.dosage).high == 9
    assert len(target.model_dump(exclude_none=True)) == 3


@given(amount=st.integers(-50, 700), kind=st.sampled_from(KINDS))
def test_a_target_stays_within_the_range(make, amount, kind):
    assert 5 <= amount_of(target_for(_of_kind(make, kind), amount)) <= 9


@pytest.mark.parametrize("kind", KINDS)
def test_another_amount_keeps_the_kind(make, kind):
    target = target_for(_of_kind(make, kind))
    assert amount_of(with_amount(target, 8)) == 8
    assert with_amount(with_amount(target, 8), 5) == target


def test_shared_sides_have_half_each(make):
    shared = make.movement("m", sides=Sides.SHARED)
    each = make.movement("m", sides=Sides.EACH)
    assert (for_one_side(shared, 40), for_one_side(each, 40), for_one_side(shared, 1)) == (
        20,
        40,
        1,
    )
