"""Small catalogues and logs, made in a line. All names and figures are invented."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import pytest

from catalogue.history import History, SessionDone, SetDone
from catalogue.model import (
    Catalogue,
    Cue,
    Equipment,
    Hazard,
    Level,
    Links,
    Movement,
    Phase,
    Profile,
    Skill,
    StandIn,
)

LEVELS = tuple(Level)


class Make:
    """What the tests of this folder build from."""

    @staticmethod
    def movement(
        id_: str,
        rung: int | None = 0,
        *,
        skill: str = "grip",
        kind: str = "hold",
        span: tuple[int, int] = (30, 45),
        sets: int = 2,
        rest: int = 45,
        phase: Phase = Phase.MAIN,
        hazards: Iterable[str] = (),
        loads: Iterable[str] = ("wrist",),
        down: str | None = None,
        up: str | None = None,
        beside: Iterable[str] = (),
        because: str | None = None,
        **more: Any,
    ) -> Movement:
        """A movement on `rung` (0 to 8) of its skill; warm-up and cool-down have none."""
        amount = {
            "hold": "seconds", "work": "seconds", "reps": "reps",
            "reps_per_side": "per_side", "distance": "metres",
        }[kind]  # fmt: skip
        placed: dict[str, Any] = {}
        if phase is Phase.MAIN:
            assert rung is not None
            placed = {"skill": skill, "level": LEVELS[rung // 3], "step": rung % 3 + 1}
        hazards = tuple(Hazard(hazard) for hazard in hazards)
        return Movement.model_validate(
            {
                "id": id_,
                "name": id_.replace("_", " "),
                "phase": phase,
                "dosage": {
                    "kind": kind,
                    amount: {"low": span[0], "high": span[1]},
                    "sets": sets,
                    "rest": rest,
                },
                "set_up": ("Take your place.",),
                "cues": (
                    Cue(text="Push the floor away.", focus="outside"),
                    Cue(text="Stay tall.", focus="body"),
                ),
                "safety": ("Clear the floor round you.",) if hazards else (),
                "hazards": hazards,
                "loads": tuple(loads),
                "links": Links(
                    regress=down, progress=up, alternative=tuple(beside), easier_because=because
                ),
                **placed,
                **more,
            }
        )

    @staticmethod
    def catalogue(
        *movements: Movement, stand_ins: dict[str, list[StandIn]] | None = None
    ) -> Catalogue:
        """The movements with the equipment and skills that they name."""
        items = sorted({item for movement in movements for item in movement.equipment})
        skills = dict.fromkeys(m.skill for m in movements if m.skill is not None)
        known = stand_ins or {}
        return Catalogue(
            name="made up",
            equipment={
                item: Equipment(id=item, name=item, stand_ins=tuple(known.get(item, ())))
                for item in items
            },
            skills={skill: Skill(id=skill, name=skill) for skill in skills},
            movements={movement.id: movement for movement in movements},
        )

    @staticmethod
    def profile(**more: Any) -> Profile:
        return Profile.model_validate({"athlete": "Mo", "space": 5.0, **more})

    @staticmethod
    def session(
        movement: str,
        number: int,
        *amounts: float,
        target: int = 30,
        day: int | None = None,
        sides: Iterable[str] = ("none",),
        **more: Any,
    ) -> tuple[SetDone, ...]:
        """One session of a movement: a set of each amount on each side; the day is the number."""
        return tuple(
            SetDone(
                day=number if day is None else day,
                session=number,
                movement=movement,
                side=side,
                target=target,
                amount=amount,
                **{"whole": amount >= target, **more},
            )
            for amount in amounts
            for side in sides
        )

    @staticmethod
    def history(*sessions: tuple[SetDone, ...], loads: Iterable[SessionDone] = ()) -> History:
        return History(tuple(done for session in sessions for done in session), tuple(loads))


@pytest.fixture(scope="session")
def make() -> type[Make]:
    return Make
