"""What has to be said of dangers is said, by the shipped words and catalogue, at its time."""

from __future__ import annotations

from datetime import datetime

import pytest

from assistant.athletes import ATHLETES
from assistant.coach import Coach, lines_of
from assistant.files import builtin_catalogue
from assistant.preparing import new_setting
from assistant.rehearsal import rehearse
from assistant.session import cautions
from assistant.session.facts import (
    CautionsAccepted,
    CautionsHeard,
    SafeguardAnswered,
    SetLogged,
)
from catalogue.model import Hazard, Profile
from catalogue.safeguards import ASKED, gravest

CATALOGUE = builtin_catalogue()
EVERYTHING = Profile(
    athlete="Robin", levels=dict.fromkeys(CATALOGUE.skills, "advanced"),  # type: ignore[arg-type]
    equipment=tuple(CATALOGUE.equipment), space=10.0, minutes=60,
)  # fmt: skip

WORDS = {
    "pain": "pain", "dizziness": "dizzy", "a bar": "test a bar", "a roller": "rigid",
    "space": "floor clear", "a spotter": "spotter", "a coach": "coach", "a clinician": "clinician",
}  # fmt: skip


@pytest.mark.parametrize("about", WORDS)
def test_the_first_run_speaks_of(about: str) -> None:
    lines = lines_of("en")
    said = " ".join(text for line in cautions.LINES for text in lines.lines[line]).lower()
    assert WORDS[about] in said


def test_every_safeguard_names_what_it_asks_for() -> None:
    lines = lines_of("en").lines
    wanted = {
        Hazard.INVERTED: ("spotter", "clear floor"),
        Hazard.HANGING: ("tested", "floor under it clear"),
        Hazard.RAISED: ("mat", "clear floor"),
    }
    assert set(wanted) == set(ASKED)
    for hazard, words in wanted.items():
        (text,) = lines[f"safeguard.{hazard.value}"]
        assert all(word in text for word in words)


@pytest.mark.parametrize(
    ("hazard", "words"),
    [
        (Hazard.HANGING, ("test the bar", "test bar")),
        (Hazard.ROLLING, ("rigid",)),
        (Hazard.INVERTED, ("spotter", "beside you", "someone", "clear", "soft", "mat")),
    ],
)
def test_the_shipped_movements_say_it_themselves(hazard: Hazard, words: tuple[str, ...]) -> None:
    for movement in CATALOGUE.movements.values():
        if hazard in movement.hazards:
            said = " ".join(movement.safety).lower()
            assert any(word in said for word in words), movement.id


@pytest.mark.parametrize("athlete", ATHLETES)
def test_in_whole_sessions_nothing_is_done_before_it(athlete: str) -> None:
    """Whatever the simulated athlete does: accepted, heard and answered before the first set."""
    coach = Coach.of(CATALOGUE, "en")
    seen: set[Hazard] = set()
    for day in range(1, 4):
        setting = new_setting(CATALOGUE, EVERYTHING, None, datetime(2026, 3, day, 18))
        done = rehearse(setting, ATHLETES[athlete], coach.render, coach.understand, seed=day)
        accepted, heard, there = False, set[str](), set[str]()
        for fact in done.facts:
            match fact:
                case CautionsAccepted():
                    accepted = True
                case CautionsHeard(movement=str(movement)):
                    heard.add(movement)
                case SafeguardAnswered(met=True):
                    there.add(fact.hazard)
                case SetLogged():
                    movement = CATALOGUE.movements[fact.movement]
                    hazard = gravest(movement.hazards)
                    assert accepted
                    assert not movement.safety or movement.id in heard
                    assert hazard is None or hazard.value in there
                    seen |= {hazard} if hazard is not None else set()
    if athlete in ("steady", "careful", "falls"):
        assert seen, "no work was done that asks for a safeguard"
