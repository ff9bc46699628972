"""Entering a block: can it be done with what there is, what is it, is the athlete ready?"""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from assistant.session import cautions, closing
from assistant.session.amounts import sets_of
from assistant.session.facts import SafeguardAnswered, Swapped
from assistant.session.nodes import Node
from assistant.session.state import Clock, place_of
from assistant.session.step import Step
from assistant.session.wording import because, dose, say_cue
from catalogue.conditions import feasible
from catalogue.detail import cues_before
from catalogue.dosing import target_for
from catalogue.model import StandIn
from catalogue.plan import Block
from catalogue.substitute import Substitution, nearest, stand_ins_for
from intents.meaning import Meaning

READY_PATIENCE = 25.0
"""Seconds before the first prompt while the athlete sets up."""


def enter(step: Step, index: int) -> None:
    """Go to a block; where it can not be done, to its nearest substitute or past it."""
    step.cancel_all()
    if not step.state.accepted:
        cautions.ask(step)
        return
    if index >= len(step.state.blocks):
        closing.ask_session_effort(step)
        return
    step.set(block=index, number=1, clock=Clock(), came_off=0, came_off_in_block=0, cue=0,
             effort_of=None, rest_until=None, rest_left=None)  # fmt: skip
    fitted = fit(step, index)
    if fitted == "asked":
        return
    if fitted == "nothing":
        movement = step.state.current.movement
        step.say("block.left_out", name=step.name(movement))
        enter(step, index + 1)
        return
    introduce(step)


def fit(step: Step, index: int) -> Literal["fits", "asked", "nothing"]:
    """Make a block one that can be done: with a stand-in (asked for first), or another movement.

    "nothing" where the catalogue has nothing; the reason is said and on record.
    """
    catalogue, block = step.setting.catalogue, step.state.blocks[index]
    conditions = step.state.conditions
    obstacle = feasible(catalogue, catalogue.movements[block.movement], conditions)
    if obstacle is None:
        return "fits"
    found = nearest(catalogue, block.movement, conditions)
    if found is not None and found.replaces is not None:
        if found.replaces not in step.state.refused:
            step.say_line(because(obstacle))
            step.set(lacking=found.replaces, offer=0, fitting=index)
            if ask_stand_in(step):
                return "asked"
        found = nearest(catalogue, block.movement, conditions, frozenset({block.movement}))
    cause: Literal["pain", "lack"] = "pain" if "hurting" in obstacle.id else "lack"
    if found is None:
        step.record(Swapped(block.movement, None, cause, step.setting.sentence(obstacle)))
        step.say_line(because(obstacle))
        return "nothing"
    step.say_line(because(found.reason))
    step.record(Swapped(block.movement, found.movement, cause, step.setting.sentence(found.reason)))
    replace_block(step, index, substitute(step, block, found))
    return "fits"


def stand_ins(step: Step, lacking: str) -> tuple[StandIn, ...]:
    """What may take the place of a missing thing here: household things, and equipment there is."""
    there = step.state.conditions.equipment
    return tuple(
        s
        for s in stand_ins_for(step.setting.catalogue, lacking)
        if s.item is None or s.item in there
    )


def ask_stand_in(step: Step) -> bool:
    """Ask for the present stand-in with its condition; False where none is left."""
    lacking = step.state.lacking or ""
    choices = stand_ins(step, lacking)
    if step.state.offer >= len(choices):
        step.set(refused=step.state.refused | {lacking}, lacking=None)
        return False
    choice = choices[step.state.offer]
    step.cancel_all()
    step.drop_marks()
    if step.state.node is not Node.STAND_IN:
        step.set(asked_from=place_of(step.state))
    step.go(Node.STAND_IN)
    step.show("stand_in")
    step.say("stand_in.ask", name=choice.name)
    step.say("text", text=choice.condition)
    item = step.setting.catalogue.equipment[lacking]
    if item.never and step.state.offer == 0:
        step.say("stand_in.never", items=item.never)
    step.say("stand_in.yes_no")
    return True


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
    """Say what the movement is and ask for "start"; of one that is known, the least."""
    block, movement = step.state.current, step.movement
    told = step.told
    step.set(side=step.sides[0], start_after_caution=False, caution_tag=None)
    step.go(Node.READY)
    step.show(movement.name)
    step.say("block.name", n=step.state.block + 1, of=len(step.state.blocks), name=movement.name)
    if block.stand_in:
        step.say("block.stand_in", name=block.stand_in)
    cautions.movement_caution(step)
    for text in movement.set_up if told.set_up else ():
        step.say("text", text=text)
    step.say_line(dose(block, movement))
    for _ in range(cues_before(block.phase, told)):
        say_cue(step)
    if not cautions.ask_safeguard(step):
        step.say("ready.ask")


def safeguard_there(step: Step, meaning: Meaning) -> None:
    """What the work needs is there: on to its start."""
    hazard = cautions.safeguard_due(step)
    if hazard is not None:
        step.record(SafeguardAnswered(step.movement.id, hazard.value, True))
        cautions.safeguard_there(step, hazard)
    step.go(Node.READY)
    step.show(step.movement.name)
    step.say("ready.ask")


def safeguard_lacking(step: Step, meaning: Meaning) -> None:
    """What the work needs is not there: no such work today, but something else or nothing."""
    hazard = cautions.safeguard_due(step)
    if hazard is None:
        ready_again(step)
        return
    step.record(SafeguardAnswered(step.movement.id, hazard.value, False))
    conditions = step.state.conditions
    step.set(conditions=replace(conditions, avoid=conditions.avoid | {hazard}))
    enter(step, step.state.block)


def ready_again(step: Step) -> None:
    """Back at the start of the present set, with nothing on its clock."""
    step.cancel_all()
    step.drop_marks()
    step.set(clock=Clock())
    step.go(Node.READY)
    step.show(step.movement.name)
    block, number = step.state.current, step.state.number
    if number > block.target.sets and block.extra_because is not None:
        step.say_line(because(block.extra_because))
    step.say("ready.set", n=number, of=sets_of(block))
