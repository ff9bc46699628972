"""After a set: effort, rest with a preview of what comes, and on."""

from __future__ import annotations

from assistant.session import blocks
from assistant.session.amounts import sets_of, sides_of
from assistant.session.facts import EffortLogged
from assistant.session.nexttime import today
from assistant.session.nodes import Node
from assistant.session.state import Clock
from assistant.session.step import Step
from assistant.session.wording import because
from catalogue.model import Phase
from catalogue.praise import praise
from intents.meaning import Meaning

SHORT_REST = 3.0
"""Seconds of rest under which nothing is gained by waiting."""

MORE_REST = 30


def is_last_set(step: Step) -> bool:
    return step.state.number >= sets_of(step.state.current)


def is_last_block(step: Step) -> bool:
    return step.state.block + 1 >= len(step.state.blocks)


def after_set(step: Step) -> None:
    """The set is on record: ask the effort of a main movement's last set, then rest."""
    rest = 0 if is_last_set(step) and is_last_block(step) else step.state.current.target.rest
    step.cancel_all()
    step.set(clock=Clock(), came_off=0, rest_until=step.at + rest, rest_left=None)
    asks = is_last_set(step) and step.state.current.phase is Phase.MAIN
    if asks and step.state.effort_of != step.state.block:
        step.go(Node.EFFORT)
        step.show("effort")
        say_praise(step)
        step.say("effort.ask")
    else:
        begin_rest(step)


def say_praise(step: Step) -> None:
    """What was better than before in the movement that is done, where something measured was."""
    state, movement = step.state, step.movement
    planned = sum(
        len(sides_of(movement, state.current, number))
        for number in range(1, sets_of(state.current) + 1)
    )
    done = [s for s in today(step.setting, state) if s.movement == movement.id]
    found = praise(step.setting.history, done, movement.name, planned=planned)
    if found is not None:
        step.say_line(because(found))


def begin_rest(step: Step) -> None:
    """Rest for what is left of the time, and tell what comes next."""
    until = step.state.rest_until or step.at
    if until - step.at <= SHORT_REST:
        over(step)
        return
    step.go(Node.REST)
    step.set(rest_left=None, rest_until=until)
    step.show("rest", until)
    step.say("rest.begin", seconds=round(until - step.at))
    preview(step)
    arm(step, until)


def begin_again(step: Step) -> None:
    """Back in a rest after a question: what is left of it, or on."""
    until = step.state.rest_until or step.at
    if until <= step.at:
        over(step)
    else:
        arm(step, until)


def arm(step: Step, until: float) -> None:
    step.timer("rest_end", until)
    if until - step.at >= 20:
        step.timer("rest_ten", until - 10)


def preview(step: Step) -> None:
    """What comes after this rest, so that it can be set up now."""
    if not is_last_set(step):
        step.say("rest.next_set", n=step.state.number + 1, of=sets_of(step.state.current))
    elif not is_last_block(step):
        block = step.state.blocks[step.state.block + 1]
        movement = step.setting.catalogue.movements[block.movement]
        step.say("rest.next_block", name=movement.name)
        items = tuple(step.setting.catalogue.equipment[e].name for e in movement.equipment)
        if items and not block.stand_in:
            step.say("rest.get", items=items)


def over(step: Step) -> None:
    """Rest is over: the next set, or the next block."""
    if is_last_set(step):
        blocks.enter(step, step.state.block + 1)
    else:
        step.set(number=step.state.number + 1, clock=Clock(), came_off=0, rest_until=None)
        step.set(side=step.sides[0])
        blocks.ready_again(step)


def last_ten(step: Step) -> None:
    step.say("rest.ten")


def more_rest(step: Step, meaning: Meaning) -> None:
    """Lengthen the rest, or take one before the set."""
    seconds = meaning.slots.get("seconds", MORE_REST)
    extra = min(int(seconds), 300)
    if step.state.node is Node.READY:
        # A rest before a set: when it is over, the same set is asked for again.
        step.cancel_all()
        step.go(Node.REST)
        step.set(rest_until=step.at + extra, number=step.state.number - 1)
    else:
        step.set(rest_until=max(step.state.rest_until or step.at, step.at) + extra)
    until = step.state.rest_until or step.at
    if step.state.node is Node.REST:
        step.cancel("rest_end", "rest_ten")
        arm(step, until)
        step.show("rest", until)
    step.say("rest.more", seconds=round(until - step.at))


def effort(step: Step, meaning: Meaning) -> None:
    """Put the effort on record; in the question's node, go on."""
    rpe = meaning.slots.get("rpe")
    if not isinstance(rpe, int):
        step.say("effort.ask")
        return
    done = [s for s in step.state.sets if not s.undone]
    movement = done[-1].movement if done else step.state.current.movement
    step.record(EffortLogged(movement, rpe))
    step.set(effort_of=step.state.block, efforts=(*step.state.efforts, (movement, rpe)))
    step.say("effort.thanks", rpe=rpe)
    if step.state.node is Node.EFFORT:
        begin_rest(step)


def skip_effort(step: Step, meaning: Meaning | None = None) -> None:
    """No answer, or none wanted: the set stands without an effort."""
    begin_rest(step)
