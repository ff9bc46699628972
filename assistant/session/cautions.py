"""What has to be heard, and to be there, before the work: no way to a set leads round it.

The session's own cautions are said in full and taken on by the athlete, once for their wording. A
movement's are said in full the first time. Hanging, raised and upside-down work asks for its
safeguard before the first set of a session, once for what it is done on.
"""

from __future__ import annotations

from assistant.session.facts import CautionsHeard
from assistant.session.nodes import Node
from assistant.session.step import Step
from catalogue.model import Hazard
from catalogue.safeguards import gravest

LINES = ("open.caution_limits", "open.caution_words", "open.caution_gear")
"""The session's own cautions."""

QUESTION = "cautions.ask"


def say_all(step: Step) -> None:
    """The session's own cautions in full; they count as heard once the last was heard whole."""
    tag = ""
    for line in LINES:
        tag = step.say(line, interruptible=False)
    step.set(opening_tag=tag)


def heard(step: Step) -> None:
    """The session's own cautions have come across in full."""
    if step.state.opening_tag is not None:
        step.set(opening_tag=None)
        step.record(CautionsHeard(None))


def ask(step: Step) -> None:
    """Ask the athlete to take the cautions on: before that, no way leads to the work."""
    step.go(Node.CAUTIONS)
    step.show("cautions")
    say_question(step)


def say_question(step: Step, before: str = "caution.first") -> None:
    """The question, after the cautions themselves where they were cut short; the line `before`
    says why they come again."""
    if step.state.opening_tag is not None and step.state.opening_tag not in step.state.speaking:
        step.say(before)
        say_all(step)
    step.say(QUESTION)


def movement_caution(step: Step) -> None:
    """The movement's cautions: in full and not to be cut short until heard once."""
    movement = step.movement
    if movement_caution_due(step):
        tag = ""
        for text in movement.safety:
            tag = step.say("text", interruptible=False, text=text)
        step.set(caution_tag=tag)
    elif movement.hazards:
        step.say("text", text=movement.safety[0])


def movement_caution_due(step: Step) -> bool:
    """Whether the movement has cautions that the athlete has never heard in full."""
    return bool(step.movement.safety) and step.movement.id not in step.state.cautions


def safeguard_due(step: Step) -> Hazard | None:
    """The hazard of the present block whose safeguard is not known to be there."""
    hazard = gravest(step.movement.hazards)
    return None if hazard is None or _work(step, hazard) in step.state.safeguards else hazard


def ask_safeguard(step: Step) -> bool:
    """Ask for the safeguard where one is due; False where none is."""
    hazard = safeguard_due(step)
    if hazard is None:
        return False
    step.go(Node.SAFEGUARD)
    step.show("safeguard")
    step.say(f"safeguard.{hazard.value}")
    return True


def safeguard_there(step: Step, hazard: Hazard) -> None:
    step.set(safeguards=step.state.safeguards | {_work(step, hazard)})


def _work(step: Step, hazard: Hazard) -> tuple[str, ...]:
    """What a safeguard holds for: the hazard, and the things that the work is done on."""
    return (hazard.value, *step.movement.equipment, step.state.current.stand_in or "")
