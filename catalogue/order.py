"""The order of a session: skill before strength, and fresh arms for what wants them."""

from __future__ import annotations

from catalogue.draft import Draft, Part
from catalogue.model import Hazard, Movement, Phase
from catalogue.today import tires_arms, wants_fresh


def in_order(draft: Draft) -> list[Part]:
    """Warm-up (rehearsals last), the main part by `turn`, cool-down."""
    warm = sorted(draft.of(Phase.WARM_UP), key=lambda part: part.skill is not None)
    main = sorted(draft.of(Phase.MAIN), key=lambda part: turn(part.movement))
    return [*warm, *main, *draft.of(Phase.COOL_DOWN)]


def turn(movement: Movement) -> int:
    """Skill before strength, and nothing that tires the arms before hanging or inverted work."""
    if wants_fresh(movement):
        return 3
    still = movement.dosage.kind == "hold"
    if tires_arms(movement):
        return 5 if still else 4
    balance = not {Hazard.ROLLING, Hazard.LANDING}.isdisjoint(movement.hazards)
    return 0 if balance else 2 if still else 1
