"""Which lines say what is asked for, what was logged and what comes next."""

from __future__ import annotations

from assistant.session.amounts import asked, unit_of
from assistant.session.facts import Side
from assistant.session.step import Step
from catalogue.model import Cue, Movement, Sides
from catalogue.plan import Block
from catalogue.reason import Reason
from intents.lines import Line


def dose(block: Block, movement: Movement) -> Line:
    """One sentence with the dosage, numbers first."""
    amount, sets = asked(block, movement), block.target.sets
    kind = movement.dosage.kind
    sides = "" if movement.sides is Sides.NONE else "_each"
    return Line(f"dose.{kind}{sides}", {"amount": amount, "sets": sets})


def amount(block: Block, value: float, side: Side) -> Line:
    """What was logged, read back."""
    unit = unit_of(block.target)
    sided = "" if side == "none" else "_side"
    return Line(f"logged.{unit}{sided}", {"amount": round(value), "side": side})


def because(reason: Reason) -> Line:
    return Line(f"reason.{reason.id}", dict(reason.values))


def cues(movement: Movement, first: int, count: int) -> tuple[str, ...]:
    """`count` cues from the `first` on, those about the effect outside the body first."""
    ranked = sorted(movement.cues, key=_inward)
    return tuple(ranked[(first + i) % len(ranked)].text for i in range(min(count, len(ranked))))


def _inward(cue: Cue) -> bool:
    return cue.focus == "body"


def say_amount(step: Step, value: float, side: Side) -> None:
    step.say_line(amount(step.state.current, value, side))
