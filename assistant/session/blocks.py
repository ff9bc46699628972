"""Entering a block: can it be done with what there is, what is it, is the athlete ready?"""

from __future__ import annotations

from typing import Literal

from assistant.session import closing
from assistant.session.amounts import sides_of
from assistant.session.facts import Swapped
from assistant.session.nodes import Node
from assistant.session.state import Clock
from assistant.session.step import Step
from assistant.session.wording import because, cues, dose
from catalogue.conditions import feasible
from catalogue.dosing import target_for
from catalogue.model import Phase
from catalogue.plan import Block
from catalogue.substitute import Substitution, nearest

READY_PATIENCE = 25.0
"""Seconds before the first prompt while the athlete sets up."""


def enter(step: Step, index: int) -> None:
    """Go to a block; where it can not be done, to its nearest substitute or past it."""
    step.cancel_all()
    if index >= len(step.state.blocks):
        closing.ask_session_effort(step)
        return
    step.set(block=index, number=1, clock=Clock(), came_off=0, came_off_in_block=0, cue=0,
             effort_of=None, rest_until=None, rest_left=None)  # fmt: skip
    block = step.state.current
    movement = step.setting.catalogue.movements[block.movement]
    obstacle = feasible(step.setting.catalogue, movement, step.state.conditions)
    if obstacle is not None:
        found = nearest(step.setting.catalogue, block.movement, step.state.conditions)
        cause: Literal["pain", "lack"] = "pain" if "hurting" in obstacle.id else "lack"
        if found is None:
            step.record(Swapped(block.movement, None, cause, obstacle.id))
            step.say_line(because(obstacle))
            step.say("block.left_out", name=step.name(block.movement))
            enter(step, index + 1)
            return
        step.say_line(because(found.reason))
        step.record(Swapped(block.movement, found.movement, cause, found.reason.id))
        replace_block(step, index, substitute(step, block, found))
    introduce(step)


def substitute(step: Step, block: Block, found: Substitution, sets: int | None = None) -> Block:
    """The block with another movement, dosed for it, with as many sets as there were."""
    movement = step.setting.catalogue.movements[found.movement]
    target = target_for(movement)
    if found.movement == block.movement:
        target = block.target
    return Block(
        movement=found.movement,
        phase=block.phase,
        target=target.model_copy(update={"sets": sets or block.target.sets}),
        reason=found.reason,
        stand_in=found.stand_in.name if found.stand_in else None,
    )


def replace_block(step: Step, index: int, block: Block) -> None:
    blocks = list(step.state.blocks)
    blocks[index] = block
    step.set(blocks=tuple(blocks))


def introduce(step: Step) -> None:
    """Say what the movement is and ask for "start"."""
    block, movement = step.state.current, step.movement
    step.set(side=sides_of(movement)[0], start_after_caution=False, caution_tag=None)
    step.go(Node.READY)
    step.show(movement.name)
    step.say("block.name", n=step.state.block + 1, of=len(step.state.blocks), name=movement.name)
    if block.stand_in:
        step.say("block.stand_in", name=block.stand_in)
    caution(step)
    for text in movement.set_up:
        step.say("text", text=text)
    step.say_line(dose(block, movement))
    for text in cues(movement, 0, 1 if block.phase is not Phase.MAIN else 2):
        step.say("text", text=text)
    step.set(cue=2)
    step.say("ready.ask")


def caution(step: Step) -> None:
    """The movement's cautions: in full and not to be cut short until heard once."""
    movement = step.movement
    if not movement.safety:
        return
    if movement.id in step.state.cautions or not movement.hazards:
        if movement.hazards:
            step.say("text", text=movement.safety[0])
        return
    tag = ""
    for text in movement.safety:
        tag = step.say("text", interruptible=False, text=text)
    step.set(caution_tag=tag)


def ready_again(step: Step) -> None:
    """Back at the start of the present set."""
    step.cancel_all()
    step.drop_marks()
    step.go(Node.READY)
    step.show(step.movement.name)
    step.say("ready.set", n=step.state.number, of=step.state.current.target.sets)
