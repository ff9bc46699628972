"""Catalogues and logs of any size for benchmarks: made up, and the same for the same seed."""

from __future__ import annotations

import random

from catalogue.history import History, SessionDone, SetDone
from catalogue.model import (
    BodyPart,
    Catalogue,
    Cue,
    Equipment,
    Hazard,
    Hold,
    Level,
    Links,
    Movement,
    Phase,
    Profile,
    Range,
    Sides,
    Skill,
    StandIn,
    Work,
)

SKILLS = ("balance", "supports", "hangs", "landings", "climbing", "turns")
ITEMS = ("pipe", "bar", "box", "wall", "mat")
CUES = (
    Cue(text="Push the floor away.", focus="outside"),
    Cue(text="Stay as tall as you can.", focus="body"),
)
AROUND = 4
"""One movement in so many is a warm-up or a cool-down."""


def catalogue_of(size: int, seed: int = 0) -> Catalogue:
    """`size` movements over six skills, linked as ladders with alternatives across."""
    rng = random.Random(seed)
    movements: dict[str, Movement] = {}
    main = [n for n in range(size) if n % AROUND]
    by_skill = {
        skill: [f"m{n}" for n in main if n % len(SKILLS) == place]
        for place, skill in enumerate(SKILLS)
    }
    for n in range(size):
        if n % AROUND == 0:
            phase = Phase.COOL_DOWN if n % (2 * AROUND) else Phase.WARM_UP
            movements[f"m{n}"] = _movement(rng, n, phase)
            continue
        skill = SKILLS[n % len(SKILLS)]
        ladder = by_skill[skill]
        place = ladder.index(f"m{n}") if size <= 100 else len(ladder) * n // size
        place = min(place, len(ladder) - 1)
        links = Links(
            regress=ladder[place - 1] if place else None,
            progress=ladder[place + 1] if place + 1 < len(ladder) else None,
            alternative=tuple({rng.choice(ladder), rng.choice(by_skill[rng.choice(SKILLS)])}),
        )
        movements[f"m{n}"] = _movement(
            rng, n, Phase.MAIN, skill=skill, rung=9 * place // len(ladder), links=links
        )
    return Catalogue(
        name="made up",
        equipment={
            item: Equipment(
                id=item,
                name=item,
                stand_ins=(StandIn(name=f"other {item}", condition="Only if it is firm."),),
            )
            for item in ITEMS
        },
        skills={skill: Skill(id=skill, name=skill) for skill in SKILLS},
        movements=movements,
    )


def _movement(
    rng: random.Random,
    n: int,
    phase: Phase,
    skill: str | None = None,
    rung: int | None = None,
    links: Links | None = None,
) -> Movement:
    hazards = tuple(rng.sample(list(Hazard), 1)) if rng.random() < 0.4 else ()
    span, sets = Range(low=30, high=45), rng.randint(1, 3)
    kind = Hold(kind="hold", seconds=span, sets=sets, rest=45)
    work = Work(kind="work", seconds=span, sets=sets, rest=45)
    return Movement(
        id=f"m{n}",
        name=f"movement {n}",
        phase=phase,
        skill=skill,
        level=list(Level)[rung // 3] if rung is not None else None,
        step=rung % 3 + 1 if rung is not None else None,
        dosage=kind if rng.random() < 0.5 else work,
        sides=rng.choice(list(Sides)),
        equipment=tuple(rng.sample(ITEMS, rng.randint(0, 2))) if phase is Phase.MAIN else (),
        space=rng.choice((1.0, 2.0, 3.0)),
        set_up=("Take your place, and look ahead at a mark on the wall.",),
        cues=CUES,
        safety=("Keep the floor round you clear.",),
        hazards=hazards,
        loads=tuple(rng.sample(list(BodyPart), rng.randint(1, 4))),
        links=links or Links(),
    )


def profile_of() -> Profile:
    levels = dict.fromkeys(SKILLS, Level.INTERMEDIATE)
    return Profile(athlete="Mo", levels=levels, equipment=("pipe", "box"), minutes=40)


def history_of(catalogue: Catalogue, days: int, seed: int = 0) -> History:
    """A session every other day: six movements of two sets each."""
    rng = random.Random(seed)
    main = [m.id for m in catalogue.movements.values() if m.phase is Phase.MAIN]
    sets: list[SetDone] = []
    sessions: list[SessionDone] = []
    for day in range(1, days + 1, 2):
        sessions.append(SessionDone(day, day, 30.0, rng.randint(3, 8)))
        for movement in rng.sample(main, min(6, len(main))):
            for _ in range(2):
                done = rng.randint(20, 45)
                sets.append(
                    SetDone(day, day, movement, target=30, amount=float(done), whole=done >= 30)
                )
    return History(tuple(sets), tuple(sessions))
