"""The athlete's file: right, wrong and missing."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.files import builtin_catalogue
from catalogue.load import default_profile, load_profile
from catalogue.model import Level
from catalogue.problems import CatalogueProblems

RIGHT = """\
athlete = "Robin"
equipment = ["pipe", "bar"]
space = 3
minutes = 25

[levels]
balance = "intermediate"
hangs = "beginner"
"""


def mistakes(text: str) -> list[str]:
    with pytest.raises(CatalogueProblems) as caught:
        load_profile(text, "robin.toml", builtin_catalogue())
    return [str(problem) for problem in caught.value.problems]


def test_a_right_profile() -> None:
    profile = load_profile(RIGHT, "robin.toml", builtin_catalogue())
    assert profile.athlete == "Robin"
    assert profile.levels == {"balance": Level.INTERMEDIATE, "hangs": Level.BEGINNER}
    assert profile.equipment == ("pipe", "bar")
    assert profile.space == 3.0


@pytest.mark.parametrize("text", ["", "\n\n", "# nothing yet\n"])
def test_an_empty_profile(text: str) -> None:
    assert mistakes(text) == [
        'robin.toml: the profile is empty; write at least athlete = "..." in it'
    ]


@pytest.mark.parametrize(
    ("before", "after", "sentence"),
    [
        ('"bar"', '"bars"', "2: the catalogue has no equipment `bars`; did you mean `bar`?"),
        (
            '"bar"',
            '"Pull-up bar"',
            "2: the catalogue has no equipment `Pull-up bar`; did you mean `bar`?",
        ),
        ("hangs =", "hang =", "8: the catalogue has no skill `hang`; did you mean `hangs`?"),
        (
            '"intermediate"',
            '"medium"',
            "7: `balance` of `levels` is `medium`, which is none of: beginner, intermediate, "
            "advanced; write one of these",
        ),
        (
            "minutes = 25",
            "minutes = 2",
            "4: `minutes` is `2`, but must be at least 5; write a larger number",
        ),
        (
            "minutes = 25",
            'minutes = "25"',
            "4: `minutes` is `25`, but must be a whole number; write it without quotes",
        ),
        ("minutes", "minute", "4: there is no key `minute`; did you mean `minutes`?"),
        ('athlete = "Robin"\n', "", '1: `athlete` is missing; add a name, as athlete = "..."'),
        (
            "minutes = 25",
            "minutes = ",
            "4: there is no value, or one that TOML does not know; "
            "put text in quotes and lists in [ ]",
        ),
        (
            "minutes = 25",
            'units = "feet"',
            "4: `units` is `feet`, which is none of: metric, imperial; write one of these",
        ),
    ],
)
def test_one_mistake(before: str, after: str, sentence: str) -> None:
    assert RIGHT.count(before) == 1
    assert mistakes(RIGHT.replace(before, after)) == [f"robin.toml:{sentence}"]


def test_unknown_words_without_a_near_one_list_what_there_is() -> None:
    told = mistakes(RIGHT.replace('"bar"', '"trampoline"'))[0]
    assert "use some of: " in told
    assert "wall" in told


def test_all_mistakes_at_once() -> None:
    text = RIGHT.replace("25", "2").replace('"bar"', '"bars"').replace("hangs", "hang")
    assert [one.split(": ")[0] for one in mistakes(text)] == [
        "robin.toml:2",
        "robin.toml:4",
        "robin.toml:8",
    ]


def test_without_a_profile_everybody_is_a_beginner_with_the_floor() -> None:
    profile = default_profile(builtin_catalogue())
    assert set(profile.levels) == set(builtin_catalogue().skills)
    assert set(profile.levels.values()) == {Level.BEGINNER}
    assert profile.equipment == ()


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=200))
def test_no_text_raises_anything_else(text: str) -> None:
    with pytest.raises(CatalogueProblems) as caught:
        load_profile(text, "x.toml", builtin_catalogue())
    assert str(caught.value)
