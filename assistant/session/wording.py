"""Which lines say what is asked for, what was logged and what comes next."""

from __future__ import annotations

from assistant.session.amounts import asked, unit_of
from assistant.session.facts import Side
from assistant.session.step import Step
from catalogue.detail import ranked_cues
from catalogue.model import Movement, Sides
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


def cue_text(movement: Movement, number: int) -> str:
    """A cue by its number; after the last comes the first again."""
    ranked = ranked_cues(movement)
    return ranked[number % len(ranked)].text


def say_cue(step: Step) -> None:
    """The next cue of the present movement."""
    step.say("text", text=cue_text(step.movement, step.state.cue))
    step.set(cue=step.state.cue + 1)


def say_amount(step: Step, value: float, side: Side) -> None:
    step.say_line(amount(step.state.current, value, side))
