"""How much is said at which level. The numbers are judgement; their order is checked."""

from __future__ import annotations

import doctest
from itertools import pairwise

import pytest

from assistant.files import builtin_catalogue
from catalogue import detail
from catalogue.detail import LEVELS, cues_before, lowered, raised, ranked_cues, telling
from catalogue.model import Cue, Phase


def amount(told):
    """A telling as one that can be compared part by part: more is more."""
    holds = 0 if told.cue_every == 0 else 1 / told.cue_every
    return told.set_up, told.cues, holds, told.half


def test_examples():
    assert doctest.testmod(detail).failed == 0


@pytest.mark.parametrize("known", [False, True])
def test_a_higher_level_says_nothing_less(known):
    levels = [amount(telling(level, known=known)) for level in LEVELS]
    for less, more in pairwise(levels):
        assert all(a <= b for a, b in zip(less, more, strict=True))
    assert levels[0] != levels[-1]


@pytest.mark.parametrize("level", LEVELS)
def test_of_what_is_known_nothing_more_is_said(level):
    new, known = (amount(telling(level, known=known)) for known in (False, True))
    assert all(a >= b for a, b in zip(new, known, strict=True))


def test_a_new_movement_is_always_told_how_to_get_into():
    assert all(telling(level, known=False).set_up for level in LEVELS)


def test_levels_are_walked_one_at_a_time_to_their_ends():
    assert [lowered(level) for level in LEVELS] == [None, "brief", "usual"]
    assert [raised(level) for level in LEVELS] == ["usual", "full", None]


def test_the_sets_that_have_a_cue():
    full, usual, brief = (telling(level, known=False) for level in ("full", "usual", "brief"))
    assert [n for n in range(1, 7) if full.cue_in(n)] == [1, 2, 3, 4, 5, 6]
    assert [n for n in range(1, 7) if usual.cue_in(n)] == [1, 3, 5]
    assert [n for n in range(1, 7) if telling("usual", known=True).cue_in(n)] == [1, 4]
    assert not any(brief.cue_in(n) for n in range(1, 7))


def test_outside_the_main_part_one_cue_is_enough():
    told = telling("full", known=False)
    assert [cues_before(phase, told) for phase in Phase] == [1, 2, 1]


def test_cues_about_the_effect_come_first_and_else_keep_the_coachs_order(make):
    """Wulf 2013 (Int Rev Sport Exerc Psychol 6:77-104, abstract): a focus on the effect enhances
    performance and learning "across different types of tasks, skill levels, and age groups"."""
    texts = {"body": ("Bend.", "Stretch."), "outside": ("Push the floor.", "Look at the wall.")}
    mixed = [("body", 0), ("outside", 0), ("body", 1), ("outside", 1)]
    cues = [Cue(text=texts[focus][n], focus=focus) for focus, n in mixed]
    movement = make.movement("m").model_copy(update={"cues": tuple(cues)})
    assert [c.text for c in ranked_cues(movement)] == [*texts["outside"], *texts["body"]]


PARTS = [
    "head", "neck", "shoulder", "shoulders", "elbow", "elbows", "wrist", "wrists", "hand",
    "hands", "finger", "fingers", "back", "spine", "rib", "ribs", "hip", "hips", "knee", "knees",
    "ankle", "ankles", "foot", "feet", "toe", "toes", "heel", "heels", "arm", "arms", "leg",
    "legs", "seat", "chin", "palm", "thumbs", "thumb", "eyes", "ears", "chest", "fists", "fist",
    "fingertips",
]  # fmt: skip

THINGS = [
    "floor", "wall", "walls", "bar", "pipe", "box", "mat", "mark", "mask", "room", "ladder",
    "tow", "towel", "cloth", "cup", "ice", "ground", "stone", "rail", "row", "corner", "lantern",
    "lemon", "water", "sand", "shell", "spot", "coin", "shoe", "shoes", "pockets", "fence",
    "print", "prints", "board", "opposite", "ledges", "swing", "lane", "stamp", "side", "spider",
    "sound", "closet", "ceiling", "compass", "keys",
]  # fmt: skip


@pytest.mark.parametrize("movement", builtin_catalogue().movements.values(), ids=lambda m: m.id)
def test_the_built_in_cues_are_sorted_rightly(movement):
    """A cue about the body moves a part of it; one about the effect may name a part only beside
    the thing that it acts on, or is to be like."""
    assert ranked_cues(movement)[0].focus == "outside"
    assert {cue.focus for cue in movement.cues} == {"outside", "body"}
    for cue in movement.cues:
        words = cue.text.casefold().replace(",", "").replace(".", "").replace("'s", "").split()
        if cue.focus == "outside" and set(words) & set(PARTS):
            assert set(words) & set(THINGS), cue.text
