"""Changing what is done: easier, harder, swap, skip, next, back, and missing equipment."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from assistant.session import blocks, rest, work
from assistant.session.facts import Swapped
from assistant.session.nodes import Node
from assistant.session.state import in_a_set, place_of
from assistant.session.step import Step
from assistant.session.wording import because
from catalogue.conditions import feasible
from catalogue.reason import Reason
from catalogue.substitute import Substitution, easier, harder, nearest
from intents.meaning import Meaning

Cause = Literal["easier", "harder", "swap", "lack"]


def target_index(step: Step) -> int | None:
    """The block that a change applies to: the present one while it has work left, else the next."""
    after = place_of(step.state) in (Node.REST, Node.EFFORT) and rest.is_last_set(step)
    index = step.state.block + (1 if after else 0)
    return index if index < len(step.state.blocks) else None


def apply(step: Step, index: int, found: Substitution, cause: Cause) -> None:
    """Put a movement in a block's place and lead into it."""
    block = step.state.blocks[index]
    sets = block.target.sets
    if index == step.state.block:
        done_now = 1 if place_of(step.state) in (Node.REST, Node.EFFORT) else 0
        sets = max(1, sets - step.state.number + 1 - done_now)
        work.break_off(step)
    step.say_line(because(found.reason))
    step.record(Swapped(block.movement, found.movement, cause, step.setting.sentence(found.reason)))
    blocks.replace_block(step, index, blocks.substitute(step, block, found, sets))
    if index == step.state.block:
        blocks.enter(step, index)
    else:
        rest.preview(step)
        if step.state.node is Node.EFFORT:
            step.say("effort.ask")


def shift(step: Step, meaning: Meaning) -> None:
    """ "Easier" and "harder" walk the links from where one is."""
    index = target_index(step)
    if index is None:
        step.say("change.nothing_left")
        return
    movement = step.state.blocks[index].movement
    walk = easier if meaning.id == "easier" else harder
    found = walk(step.setting.catalogue, movement, step.state.conditions)
    if isinstance(found, Reason):
        step.say_line(because(found))
        return
    apply(step, index, found, "easier" if meaning.id == "easier" else "harder")


def swap(step: Step, meaning: Meaning) -> None:
    """Something else of the same kind: a named alternative first, else the nearest."""
    index = target_index(step)
    if index is None:
        step.say("change.nothing_left")
        return
    catalogue = step.setting.catalogue
    movement = step.state.blocks[index].movement
    others = frozenset({movement, step.state.origin[index].movement})
    found = nearest(catalogue, movement, step.state.conditions, exclude=others)
    if found is None:
        step.say("change.no_other", name=step.name(movement))
        return
    apply(step, index, found, "swap")


def skip(step: Step, meaning: Meaning) -> None:
    """Leave the movement out; what is done of it stays on record."""
    asked_about = step.state.fitting if step.state.node is Node.STAND_IN else target_index(step)
    if asked_about is None:
        step.say("change.nothing_left")
        return
    movement = step.state.blocks[asked_about].movement
    work.break_off(step)
    step.record(Swapped(movement, None, "skip", ""))
    step.say("change.skipped", name=step.name(movement))
    blocks.enter(step, asked_about + 1)


def go_next(step: Step, meaning: Meaning) -> None:
    """The next thing: out of a rest, out of a set, or past a movement that is not begun."""
    place = place_of(step.state)
    if place is Node.REST:
        rest.over(step)
    elif place is Node.EFFORT:
        rest.skip_effort(step)
    elif place in (Node.WORK, Node.OFF):
        work.done(step)
    else:
        work.break_off(step)
        begun = any(s.block == step.state.block and not s.undone for s in step.state.sets)
        movement = step.state.current.movement
        if not begun:
            step.record(Swapped(movement, None, "skip", ""))
        blocks.enter(step, step.state.block + 1)


def go_back(step: Step, meaning: Meaning) -> None:
    """Back to the start of this movement where it is begun, else to the one before."""
    place = place_of(step.state)
    begun = step.state.number > 1 or place not in (Node.SAFEGUARD, Node.READY, Node.COUNTDOWN)
    work.break_off(step)
    if not begun and step.state.block == 0:
        step.say("change.first")
        blocks.ready_again(step)
        return
    blocks.enter(step, step.state.block if begun else step.state.block - 1)


def lack(step: Step, meaning: Meaning) -> None:
    """Something is missing: offer a stand-in with its condition, else the nearest movement."""
    catalogue, state = step.setting.catalogue, step.state
    index = target_index(step)
    movement = catalogue.movements[state.blocks[state.block if index is None else index].movement]
    named = meaning.slots.get("equipment")
    items = (str(named),) if named else movement.equipment
    if not items:
        step.say("lack.needs_none", name=movement.name)
        return
    step.set(conditions=state.conditions.without(*items), refused=state.refused - frozenset(items))
    needed = [item for item in items if item in movement.equipment]
    if not needed or index is None:
        step.say("lack.noted", items=tuple(catalogue.equipment[i].name for i in items))
        return
    if index == state.block:
        if in_a_set(state):
            work.break_off(step)
        blocks.enter(step, index)
    elif blocks.fit(step, index) == "fits":
        rest.preview(step)


def stand_in_yes(step: Step, meaning: Meaning) -> None:
    lacking = step.state.lacking or ""
    choice = blocks.stand_ins(step, lacking)[step.state.offer]
    conditions, index = step.state.conditions, step.state.fitting
    step.set(
        conditions=replace(conditions, stand_ins=conditions.stand_ins | {lacking}), lacking=None
    )
    block = step.state.blocks[index]
    step.record(Swapped(block.movement, block.movement, "lack", choice.name))
    blocks.replace_block(step, index, block.model_copy(update={"stand_in": choice.name}))
    step.say("stand_in.taken", name=choice.name)
    after_stand_in(step)


def stand_in_no(step: Step, meaning: Meaning) -> None:
    step.set(offer=step.state.offer + 1)
    if not blocks.ask_stand_in(step):
        after_stand_in(step)


def after_stand_in(step: Step) -> None:
    """The question is answered: into the block, or back to the rest before it."""
    index, back = step.state.fitting, step.state.asked_from
    step.set(asked_from=None)
    if index == step.state.block:
        blocks.enter(step, index)
        return
    if blocks.fit(step, index) == "asked":
        return
    if back is Node.EFFORT:
        step.go(Node.EFFORT)
        step.say("effort.ask")
    else:
        rest.begin_rest(step)


def have(step: Step, meaning: Meaning) -> None:
    """Something is there after all: what was planned with it comes back."""
    catalogue, state = step.setting.catalogue, step.state
    named = meaning.slots.get("equipment")
    if named is None:
        step.say("have.what")
        return
    conditions = replace(state.conditions, equipment=state.conditions.equipment | {str(named)})
    step.set(conditions=conditions)
    # What has been begun is logged as what it is.
    before_it = state.node in (Node.SAFEGUARD, Node.READY) and state.number == 1
    back: list[int] = []
    for i in range(state.block if before_it else state.block + 1, len(state.blocks)):
        origin = state.origin[i]
        wanted = catalogue.movements[origin.movement]
        if (
            origin.movement != state.blocks[i].movement
            and str(named) in wanted.equipment
            and feasible(catalogue, wanted, conditions) is None
        ):
            blocks.replace_block(step, i, origin)
            step.record(Swapped(state.blocks[i].movement, origin.movement, "lack", ""))
            back.append(i)
    step.say("have.noted", name=catalogue.equipment[str(named)].name)
    if state.block in back:
        blocks.enter(step, state.block)
