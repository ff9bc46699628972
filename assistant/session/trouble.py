"""When something is wrong: stop, pain, unwell, a device lost, the power cut, nobody there."""

from __future__ import annotations

from assistant.session import blocks, cautions, checkin, closing, rest, work
from assistant.session.amounts import unit_of
from assistant.session.facts import PainReported, ReturnChosen, UnwellReported
from assistant.session.nodes import AT_A_BLOCK, MOVING, Node
from assistant.session.state import in_a_set, place_of
from assistant.session.step import Step
from catalogue.conditions import feasible
from catalogue.model import BodyPart
from catalogue.readiness import REST_ABOVE
from catalogue.substitute import nearest
from intents.meaning import Meaning

LEAVE_AFTER = 900.0
"""Seconds of pause after which the session is closed with what is on record."""

REMIND_AFTER = 60.0

SLEEPER = "computer"
"""The device that is lost in sleep: it is back as soon as that can be told."""


def hold_everything(step: Step) -> Node:
    """Stop clock, marks and timers where they are; returns the node to come back to."""
    back = place_of(step.state)
    clock = step.state.clock.stopped(step.at)
    left = step.state.rest_left
    if step.state.node in (Node.REST, Node.EFFORT) and step.state.rest_until is not None:
        left = max(0.0, step.state.rest_until - step.at)
    step.cancel_all()
    step.drop_marks()
    step.set(clock=clock, rest_left=left)
    return back


def pause(step: Step, meaning: Meaning | None = None) -> None:
    """Everything waits as it is; a running clock keeps what it has."""
    if step.state.node is Node.PAUSED:
        step.say("paused.still")
        arm_pause(step)
        return
    back = hold_everything(step)
    enter_pause(step, back)
    if back is Node.WORK and step.state.clock.kept >= 1:
        step.say("paused.in_hold", seconds=round(step.state.clock.kept))
    else:
        step.say("paused.ask")


def enter_pause(step: Step, back: Node) -> None:
    step.go(Node.PAUSED)
    step.set(back=back, asked=(), asked_from=None)
    step.show("paused")
    arm_pause(step)


def arm_pause(step: Step) -> None:
    step.timer("remind", step.at + REMIND_AFTER)
    step.timer("leave", step.at + LEAVE_AFTER)


def remind(step: Step) -> None:
    step.say("paused.still")


def leave(step: Step) -> None:
    """Nobody came back: close with what is on record."""
    closing.close(step, "left")


def resume(step: Step, meaning: Meaning | None = None) -> None:
    """Go on where the pause, or a question, broke in."""
    back = step.state.back or Node.READY
    come_back(step, back)


def come_back(step: Step, back: Node) -> None:
    step.cancel_all()
    step.set(back=None, asked=(), asked_from=None)
    if back in MOVING:
        # A pause in reps has no clock to go on; the countdown begins them anew.
        work.countdown(step, work.LEAD)
    elif back is Node.REST:
        step.set(rest_until=step.at + (step.state.rest_left or 0.0))
        rest.begin_rest(step)
    elif back is Node.OFF:
        step.go(Node.OFF)
        step.say("off.ask")
    elif back is Node.READY:
        blocks.ready_again(step)
    else:
        step.go(back)
        ask_again(step)


def ask_again(step: Step) -> None:
    """The present node's question once more, short."""
    state = step.state
    node = state.node
    if node is Node.READY:
        step.say("ready.ask")
    elif node is Node.WORK:
        step.say("work.nudge")
    elif node in (Node.PAIN_LEVEL, Node.HURT_LEVEL):
        step.say("pain.level", part=state.part.value if state.part else "it")
    elif node is Node.STAND_IN:
        step.say("stand_in.yes_no")
    elif node is Node.CAUTIONS:
        cautions.say_question(step)
    elif node is Node.SAFEGUARD and (hazard := cautions.safeguard_due(step)) is not None:
        step.say(f"safeguard.{hazard.value}")
    else:
        step.say(f"{node.value}.again")


def stop(step: Step, meaning: Meaning | None = None) -> None:
    """ "Stop" ends the set at once, keeps what was seen of it, and waits."""
    step.hush()
    before = len(step.state.sets)
    back = place_of(step.state)
    if step.state.node is Node.PAUSED:
        step.say("paused.still")
        arm_pause(step)
        return
    in_set = step.state.node in MOVING or step.state.node is Node.OFF
    if in_set:
        work.break_off(step)
    back = hold_everything(step) if not in_set else back
    if len(step.state.sets) > before:
        # The set is over: resuming goes on after it.
        step.set(rest_left=0.0)
        back = Node.REST
    elif in_set:
        back = Node.READY
    enter_pause(step, back)
    step.say("stopped.ask")


def pain(step: Step, meaning: Meaning) -> None:
    """Pain in the session: stop at once, ask where and how bad, go on only without that part.

    Before the work, in a pause or across a question, it is part of the check-in.
    """
    step.hush()
    if place_of(step.state) in checkin.CHECKING_IN:
        step.cancel_all()
        step.set(back=None, asked=(), asked_from=None)
        checkin.pain_said(step, meaning)
        return
    movement = step.state.current.movement if step.state.node in AT_A_BLOCK else None
    work.break_off(step)
    hurt_in = step.state.hurt_in | ({movement} if movement else frozenset())
    step.set(hurt_in=hurt_in, part=None, back=None, asked_from=None)
    step.say("hurt.stop", interruptible=False)
    hurt_said(step, meaning)


def hurt_said(step: Step, meaning: Meaning) -> None:
    """Fill in part and level; then decide."""
    part, level = meaning.slots.get("part"), meaning.slots.get("level")
    known = BodyPart(str(part)) if part is not None else step.state.part
    step.set(part=known)
    movement = step.state.current.movement
    step.show("hurt")
    if known is None:
        step.go(Node.HURT_PART)
        step.say("pain.where")
    elif not isinstance(level, int):
        checkin.spare(step, known)
        step.go(Node.HURT_LEVEL)
        step.say("pain.level", part=known.value)
    else:
        step.record(PainReported(known.value, level, movement))
        step.set(pain={**step.state.pain, known: level}, part=None)
        checkin.spare(step, known)
        decide_after_pain(step, known, level)


def decide_after_pain(step: Step, part: BodyPart, level: int) -> None:
    if level > REST_ABOVE:
        step.say("pain.too_much", part=part.value, level=level, interruptible=False)
        closing.close(step, "pain")
        return
    offer_rest_of_session(step, part)


def offer_rest_of_session(step: Step, part: BodyPart | None) -> None:
    """Offer what does not load the part, or end where there is nothing of that kind."""
    catalogue, conditions = step.setting.catalogue, step.state.conditions
    for block in step.state.blocks[step.state.block :]:
        movement = catalogue.movements[block.movement]
        if feasible(catalogue, movement, conditions) is None:
            name = movement.name
        else:
            found = nearest(catalogue, block.movement, conditions)
            if found is None:
                continue
            name = catalogue.movements[found.movement].name
        step.go(Node.HURT_CHOICE)
        step.say("hurt.offer", part=part.value if part else "it", name=name)
        step.say("hurt.choice")
        return
    step.say("hurt.nothing_left", part=part.value if part else "it")
    closing.close(step, "pain")


def hurt_part_unknown(step: Step, meaning: Meaning | None = None) -> None:
    """Pain without a place can not be spared: the work ends."""
    step.record(PainReported(None, None, step.state.current.movement))
    step.say("hurt.unknown", interruptible=False)
    closing.close(step, "pain")


def hurt_level_unknown(step: Step) -> None:
    part = step.state.part
    step.record(PainReported(part.value if part else None, None, step.state.current.movement))
    step.set(part=None)
    offer_rest_of_session(step, part)


def hurt_go_on(step: Step, meaning: Meaning) -> None:
    begun = any(s.block == step.state.block and not s.undone for s in step.state.sets)
    index = step.state.block
    if begun and rest.is_last_set(step):
        index += 1
    blocks.enter(step, index)


def hurt_finish(step: Step, meaning: Meaning) -> None:
    closing.close(step, "pain")


def unwell(step: Step, meaning: Meaning) -> None:
    """Dizzy, faint, chest, breath, a fall on the head: the work ends, help is advised."""
    step.hush()
    ending = step.state.node is Node.CLOSING
    movement = step.state.current.movement if step.state.node in AT_A_BLOCK else None
    work.break_off(step)
    step.record(UnwellReported(movement))
    step.show("unwell")
    for line in ("unwell.stop", "unwell.sit", "unwell.help"):
        step.say(line, interruptible=False)
    if not ending:
        closing.close(step, "unwell")


def stop_closing(step: Step, meaning: Meaning) -> None:
    """ "Stop" in the summary: silence, and the end; everything is on record already."""
    step.hush()
    closing.closed(step)


def pain_closing(step: Step, meaning: Meaning) -> None:
    """Pain told at the very end goes on record, with the caution."""
    part, level = meaning.slots.get("part"), meaning.slots.get("level")
    step.record(
        PainReported(
            str(part) if part is not None else None,
            int(level) if level is not None else None,
            None,
        )
    )
    step.say("hurt.afterwards", interruptible=False)


def done_in_pause(step: Step, meaning: Meaning) -> None:
    """ "Done" in a pause ends the set that waits; where none waits, the session goes on."""
    if in_a_set(step.state):
        work.done(step)
    else:
        resume(step)


def audio_lost(step: Step, device: str) -> None:
    """Deaf or dumb, the session pauses; a running clock keeps what it has, and tells it."""
    if device != SLEEPER:
        step.set(lost=step.state.lost | {device})
    if step.state.node in (Node.CLOSING, Node.ENDED):
        return
    step.hush()
    if step.state.node is not Node.PAUSED:
        enter_pause(step, hold_everything(step))
    step.show(f"lost_{device}")
    step.say(f"lost.{device}")
    say_kept(step)


def audio_found(step: Step, device: str) -> None:
    """Back again: where nothing else is gone, the session goes on when it is told to."""
    step.set(lost=step.state.lost - {device})
    if step.state.node is not Node.PAUSED:
        return
    for other in sorted(step.state.lost):
        step.show(f"lost_{other}")
        step.say(f"lost.{other}")
        return
    step.show("paused")
    step.say(f"found.{device}")
    say_kept(step)


def say_kept(step: Step) -> None:
    """What a hold that was broken off by a pause stands at, and goes on from."""
    kept = step.state.clock.kept
    if step.state.back in MOVING and kept >= 1 and unit_of(step.state.current.target) == "seconds":
        step.say("paused.in_hold", seconds=round(kept))


def resumed(step: Step, away: float) -> None:
    """After a break-off of the program: everything as it was, waiting for "resume"."""
    step.set(speaking=())
    if step.setting.returning:
        step.record(ReturnChosen())
    if step.state.node in (Node.ENDED, Node.CLOSING):
        closing.closed(step)
        return
    if step.state.node is not Node.PAUSED:
        enter_pause(step, hold_everything(step))
    else:
        arm_pause(step)
    kept = step.state.clock.kept
    step.say("resumed.hello", minutes=max(1, round(away / 60)))
    if step.state.back in MOVING and kept >= 1 and unit_of(step.state.current.target) == "seconds":
        step.say("resumed.in_hold", seconds=round(kept), name=step.movement.name)
    step.say("resumed.ask")


def input_ended(step: Step) -> None:
    """Nobody can answer: run on to the next question, then close."""
    step.set(alone=True)
    leave_if_alone(step)


def leave_if_alone(step: Step) -> None:
    state = step.state
    waiting = state.node not in (
        Node.COUNTDOWN, Node.SWITCH, Node.REST, Node.CLOSING, Node.ENDED,
    )  # fmt: skip
    counting = state.node is Node.WORK and unit_of(state.current.target) == "seconds"
    if state.alone and waiting and not counting and not state.speaking:
        work.break_off(step)
        closing.close(step, "left")
