"""What people type at the first run, and what it means."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.coach import Coach
from assistant.commands.begin import begin_lines
from assistant.files import builtin_catalogue
from assistant.first_run.answers import Answers, UnclearError
from catalogue.model import BodyPart, Level

CATALOGUE = builtin_catalogue()
LINES = begin_lines("en")
READ = Answers(CATALOGUE, Coach.of(CATALOGUE, "en"), LINES)
B, I, A = Level.BEGINNER, Level.INTERMEDIATE, Level.ADVANCED  # noqa: E741


@pytest.mark.parametrize("text", ["yes", "Y", " yep ", "yes please", "sure"])
def test_yes(text: str) -> None:
    assert READ.yes_no(text) is True


@pytest.mark.parametrize("text", ["no", "N", "nope", "not really", "No."])
def test_no(text: str) -> None:
    assert READ.yes_no(text) is False


@pytest.mark.parametrize("text", ["", "maybe", "yes and no", "yesterday", "1", "noon"])
def test_neither(text: str) -> None:
    with pytest.raises(UnclearError):
        READ.yes_no(text)


def test_levels() -> None:
    assert set(READ.levels("advanced").values()) == {A}
    assert set(READ.levels("advanced")) == set(CATALOGUE.skills)
    some = READ.levels("balance intermediate, hangs: advanced")
    assert (some["balance"], some["hangs"], some["turns"]) == (I, A, B)
    some = READ.levels("intermediate, pipe balance beginner and Advanced supports")
    assert (some["balance"], some["supports"], some["turns"]) == (B, A, I)
    for wrong in ("", "expert", "juggling beginner", "balance", "balance expert"):
        with pytest.raises(UnclearError):
            READ.levels(wrong)


@pytest.mark.parametrize(
    ("text", "items"),
    [
        ("none", ()),
        ("nothing", ()),
        ("no", ()),
        ("pipe", ("pipe",)),
        ("a mat, the wall and my pipe", ("pipe", "wall", "mat")),
        ("Mat;Pull-up bar", ("mat", "bar")),
        ("mats/buckets", ("mat", "bucket")),
        ("pipe pipe", None),
        ("pipe, sauna", None),
        ("", None),
    ],
)
def test_equipment(text: str, items: tuple[str, ...] | None) -> None:
    if items is None:
        with pytest.raises(UnclearError):
            READ.equipment(text)
    else:
        assert READ.equipment(text) == items


def test_a_slip_is_met_with_what_was_meant() -> None:
    with pytest.raises(UnclearError) as caught:
        READ.equipment("pipe, matt")
    assert LINES.render(caught.value.line).startswith("I do not know matt. Is it mat?")


@pytest.mark.parametrize(
    ("text", "metres"),
    [("3", 3), ("2.5 m", 2.5), ("2,5", 2.5), ("10 feet", 3.0), ("10ft", 3.0), ("4 metres", 4),
     ("0.4", None), ("101", None), ("three", None), ("3 miles", None), ("", None), ("-3", None)],
)  # fmt: skip
def test_space(text: str, metres: float | None) -> None:
    """Ten feet are 3.048 m (a foot is 0.3048 m by the agreement of 1959), kept to a decimetre."""
    if metres is None:
        with pytest.raises(UnclearError):
            READ.space(text)
    else:
        assert READ.space(text) == metres


@pytest.mark.parametrize(
    ("text", "minutes"),
    [("30", 30), ("45 minutes", 45), ("5", 5), ("120", 120), ("4", None), ("121", None),
     ("half an hour", None), ("1.5", None), ("", None)],
)  # fmt: skip
def test_minutes(text: str, minutes: int | None) -> None:
    if minutes is None:
        with pytest.raises(UnclearError):
            READ.minutes(text)
    else:
        assert READ.minutes(text) == minutes


@pytest.mark.parametrize(
    ("text", "aches"),
    [
        ("no", {}),
        ("nothing", {}),
        ("wrist 3", {"wrist": 3}),
        ("left wrist three and my knees, 2", {"wrist": 3, "knee": 2}),
        ("shoulder, ankle 4 out of 10", {"shoulder": 3, "ankle": 4}),
        ("wrist 0", {"wrist": 0}),
        ("wrist", {"wrist": 3}),
        ("banana", None),
        ("4", None),
        ("", None),
    ],
)
def test_aches(text: str, aches: dict[str, int] | None) -> None:
    """A part without a number counts as one to spare, as in a session."""
    if aches is None:
        with pytest.raises(UnclearError):
            READ.aches(text)
    else:
        assert READ.aches(text) == {BodyPart(part): level for part, level in aches.items()}


def test_intensity() -> None:
    assert READ.intensity("hard") == "vigorous"
    assert READ.intensity(" Light.") == "light"
    assert READ.intensity("vigorous") == "vigorous"
    with pytest.raises(UnclearError):
        READ.intensity("a bit")


def test_names() -> None:
    assert READ.name("  Robin   K. ") == "Robin K."
    for wrong in ("", "x" * 61, "a\x1bb"):
        with pytest.raises(UnclearError):
            READ.name(wrong)


QUESTIONS: list[Any] = [
    READ.yes_no, READ.name, READ.levels, READ.equipment, READ.space, READ.minutes, READ.aches,
    READ.intensity,
]  # fmt: skip


@given(st.sampled_from(QUESTIONS), st.text(max_size=80))
def test_whatever_is_typed_is_read_or_met_with_a_sentence(question: Any, text: str) -> None:
    said = ""
    try:
        question(text)
    except UnclearError as error:
        said = LINES.render(error.line)
    assert said == "" or len(said) > 5
