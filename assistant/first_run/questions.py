"""The questions of the first run, in their order."""

from __future__ import annotations

from collections.abc import Mapping

from assistant.first_run.answers import Answers
from assistant.first_run.asking import Asker
from assistant.first_run.screening import INTENSITIES, Screening, advice
from catalogue.model import BodyPart, Catalogue, Level, Profile
from catalogue.profile import default_profile
from intents.lines import Line

CAUTIONS = ("stop", "bar", "roller", "floor", "inverted", "pressure", "limits")

Given = Mapping[str, str | None]
"""Answers given beforehand, by question; None is asked."""


def ask_profile(asker: Asker, read: Answers, given: Given, catalogue: Catalogue) -> Profile:
    """Who trains, how far they are, with what, where and how long."""
    usual = default_profile(catalogue)
    skills = tuple(skill.name for skill in catalogue.skills.values())
    items = tuple(thing.name for thing in catalogue.equipment.values())
    levels = tuple(level.value for level in Level)
    example = f"{read.lines.word(levels[0])}, {skills[0]} {read.lines.word(levels[1])}"
    name = asker.ask(
        Line("begin.name"),
        read.name,
        given=given["name"],
        option="--name",
        default=read.lines.word(usual.athlete),
    )
    level = asker.ask(
        Line("begin.levels", {"skills": skills, "levels": levels, "example": example}),
        read.levels,
        given=given["levels"],
        option="--levels",
        default=read.lines.word(levels[0]),
    )
    has: tuple[str, ...] = ()
    if items:
        question = Line("begin.equipment", {"items": items})
        has = asker.ask(question, read.equipment, given=given["equipment"], option="--equipment")
    space = asker.ask(
        Line("begin.space"),
        read.space,
        given=given["space"],
        option="--space",
        default=f"{usual.space:g}",
    )
    minutes = asker.ask(
        Line("begin.minutes"),
        read.minutes,
        given=given["minutes"],
        option="--minutes",
        default=str(usual.minutes),
    )
    return Profile(
        athlete=name,
        levels=level,
        equipment=has,
        space=space,
        minutes=minutes,
        language=read.lines.language,
    )


def ask_aches(asker: Asker, read: Answers, given: Given) -> Mapping[BodyPart, int]:
    """What aches today, 0 to 10. It counts for today's plan and is kept nowhere."""
    return asker.ask(Line("begin.aches"), read.aches, given=given["aches"], option="--aches")


def ask_health(asker: Asker, read: Answers, given: Given) -> Screening:
    """Activity, known disease, signs, and the intensity that is wanted."""

    def yes(name: str) -> bool:
        return asker.ask(Line(f"begin.{name}"), read.yes_no, given=given[name], option=f"--{name}")

    active, condition, symptoms = yes("active"), yes("condition"), yes("symptoms")
    intensity = asker.ask(
        Line("begin.intensity", {"choices": INTENSITIES}),
        read.intensity,
        given=given["intensity"],
        option="--intensity",
    )
    return Screening(active, condition, symptoms, intensity)


def accepted(asker: Asker, read: Answers, given: Given, found: Screening) -> bool:
    """Advice and cautions; whether the athlete takes them on."""
    for line in (f"begin.advice_{advice(found)}", "begin.advice_always", "begin.cautions"):
        asker.say(Line(line))
    for caution in CAUTIONS:
        asker.say(Line(f"begin.caution_{caution}"))
    return asker.ask(Line("begin.accept"), read.yes_no, given=given["accept"], option="--accept")
