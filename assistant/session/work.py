"""The set itself: countdown, the clock and its marks, changing sides, coming off, the log."""

from __future__ import annotations

from assistant.session import cautions, rest
from assistant.session.amounts import asked, unit_of
from assistant.session.blocks import ready_again
from assistant.session.facts import SetLogged, Source
from assistant.session.nodes import Node
from assistant.session.state import Clock, LoggedSet
from assistant.session.step import Step
from assistant.session.wording import cue_text, say_amount, say_cue
from catalogue.model import Sides
from catalogue.speech import seconds_to_say
from catalogue.substitute import Substitution, easier
from intents.meaning import Meaning

LEAD = 5.0
"""Seconds from "start" to the start: hands on the floor, feet on the pipe."""

SWITCH = 10.0
"""Seconds to change sides, countdown included."""

TICK = 5.0
"""A running clock puts itself on record this often, so that a power cut loses no more."""

TALK_FREE = 5.0
"""In the last seconds of a hold nothing but the count is heard."""

MARGIN = 3.0
"""Seconds by which a line may take longer than foretold."""

REPS_PATIENCE = 90.0


def start(step: Step, meaning: Meaning | None = None) -> None:
    """ "Start": the countdown, out of a rest too."""
    if step.state.node is Node.REST:
        rest.over(step)
        # What the next block is has to be heard before it is started.
        if step.state.number == 1:
            return
        step.hush()
    countdown(step, LEAD)


def countdown(step: Step, lead: float) -> None:
    """Count down three seconds to the start; repetitions start at once.

    Every way to a set comes through here, and none past what has to be heard and to be there.
    """
    step.cancel_all()
    if held_back(step):
        return
    if unit_of(step.state.current.target) != "seconds":
        begin(step)
        return
    begins = step.at + lead
    step.go(Node.COUNTDOWN)
    step.show("get_set", begins)
    for back in (3, 2, 1):
        if lead >= back:
            step.beep("count", begins - back)
    step.beep("go", begins)
    step.timer("begin", begins)
    if step.state.side != "none":
        step.say("countdown.side", side=step.state.side)
    else:
        step.say("countdown.set")


def held_back(step: Step) -> bool:
    """Whether the movement's cautions, or its safeguard, come before the set; then they do."""
    if cautions.movement_caution_due(step):
        if step.state.node is not Node.READY:
            step.go(Node.READY)
        step.say("caution.first")
        cautions.movement_caution(step)
        step.set(start_after_caution=True)
        return True
    return cautions.ask_safeguard(step)


def begin(step: Step) -> None:
    """The clock starts now."""
    step.go(Node.WORK)
    step.set(clock=step.state.clock.started(step.at))
    if unit_of(step.state.current.target) == "seconds":
        arm(step)
    else:
        step.beep("go")
        amount = asked(step.state.current, step.movement)
        untimed = unit_of(step.state.current.target)
        side = "" if step.state.side == "none" else "_side"
        step.say(f"work.{untimed}{side}", amount=amount, side=step.state.side)
        step.show(step.movement.name)
        step.timer("answer", step.at + REPS_PATIENCE)
        step.timer("tick", step.at + TICK)


def arm(step: Step) -> None:
    """Timers and marks for what is left of the hold."""
    amount = asked(step.state.current, step.movement)
    left = max(0.0, amount - step.state.clock.kept)
    ends = step.at + left
    step.show("work", ends)
    for back in (3, 2, 1):
        if left > back:
            step.beep("count", ends - back)
    step.beep("half" if goes_straight_on(step) else "end", ends)
    step.timer("end", ends)
    step.timer("tick", step.at + TICK)
    if left >= 16:
        step.timer("ten", ends - 12)
    told = step.told
    half = ends - amount / 2
    if told.half and amount >= 30 and half - step.at > 3:
        step.timer("half", half)
    quarter = ends - amount * 3 / 4
    if told.cue_in(step.state.number) and amount >= 30 and quarter - step.at > 2:
        step.timer("cue", quarter)
    if left > TALK_FREE:
        step.timer("quiet", ends - TALK_FREE)


def goes_straight_on(step: Step) -> bool:
    """Shared sides change without stopping the clock."""
    shared = step.movement.sides is Sides.SHARED and len(step.sides) == 2
    return shared and step.state.side == "left"


def tick(step: Step) -> None:
    step.timer("tick", step.at + TICK)


def half(step: Step) -> None:
    step.say("work.half")


def last_ten(step: Step) -> None:
    step.say("work.ten", ends_at=step.at + 2)


def cue_now(step: Step) -> None:
    """A cue in a hold, where nothing else is being said and it will be over well before the end."""
    amount = asked(step.state.current, step.movement)
    left = amount - step.state.clock.seconds(step.at)
    lasts = seconds_to_say(cue_text(step.movement, step.state.cue), step.state.rate)
    if not step.state.speaking and lasts < left - TALK_FREE - MARGIN:
        say_cue(step)


def quiet(step: Step) -> None:
    """From here to the end of the hold the count is alone; what is still being said is cut off."""
    step.hush()


def time_is_up(step: Step) -> None:
    """The clock reached what was asked for."""
    amount = asked(step.state.current, step.movement)
    straight_on = goes_straight_on(step)
    if straight_on:
        # What is to be done now comes before what was done.
        step.say("switch.now", side="right")
    put_on_record(step, float(amount), "timer", whole=True)
    if straight_on:
        step.set(side="right", clock=Clock())
        begin(step)
    else:
        next_side(step)


def held(step: Step) -> float:
    """Seconds of the present side by its clock, which never counts more than was asked for."""
    return min(step.state.clock.seconds(step.at), asked(step.state.current, step.movement))


def done(step: Step, meaning: Meaning | None = None) -> None:
    """ "Done": what the clock saw, or what was asked for where the athlete counts."""
    if unit_of(step.state.current.target) == "seconds":
        seconds = held(step)
        if seconds < 1:
            # Nothing was done yet, so nothing is logged.
            ready_again(step)
            return
        asked_for = asked(step.state.current, step.movement)
        put_on_record(step, seconds, "timer", whole=seconds >= asked_for)
    elif step.state.clock == Clock():
        # The other side, waiting in a pause: it was never begun.
        ready_again(step)
        return
    else:
        amount = asked(step.state.current, step.movement)
        put_on_record(step, float(amount), "target", whole=True)
    next_side(step)


def put_on_record(step: Step, amount: float, source: Source, *, whole: bool) -> LoggedSet:
    """Log the present side of the present set, and say so. The clock stops."""
    state = step.state
    block = state.current
    unit = unit_of(block.target)
    number = len(state.sets) + 1
    logged = LoggedSet(
        set_id=number,
        block=state.block,
        movement=block.movement,
        number=state.number,
        side=state.side,
        target=asked(block, step.movement),
        unit=unit,
        amounts=(round(amount, 1),),
        came_off=state.came_off,
    )
    step.record(
        SetLogged(
            set_id=number,
            movement=block.movement,
            number=state.number,
            side=state.side,
            target=logged.target,
            source=source,
            seconds=logged.amount if unit == "seconds" else None,
            reps=round(amount) if unit == "reps" else None,
            metres=round(amount) if unit == "metres" else None,
            came_off=state.came_off,
            whole=whole,
        )
    )
    step.cancel_all()
    step.drop_marks()
    step.set(
        sets=(*state.sets, logged),
        undoable=(*step.state.undoable, ("set", number)),
        work_seconds=state.work_seconds
        + (amount if unit == "seconds" else state.clock.seconds(step.at)),
        clock=Clock(),
        came_off=0,
    )
    say_amount(step, amount, state.side)
    return logged


def next_side(step: Step) -> None:
    """The other side if it is still to do, else the set is over."""
    sides = step.sides
    if step.state.side in sides and step.state.side != sides[-1]:
        step.set(side=sides[-1], clock=Clock(), came_off=0)
        step.go(Node.SWITCH)
        step.say("switch.to", side=step.state.side)
        step.show("switch", step.at + SWITCH)
        step.timer("switch", step.at + SWITCH - LEAD)
    else:
        rest.after_set(step)


def switched(step: Step) -> None:
    countdown(step, LEAD)


def came_off(step: Step, meaning: Meaning | None = None) -> None:
    """A step off stops the clock of the hold, not the session; the second offers the regression."""
    state = step.state
    count, in_block = state.came_off + 1, state.came_off_in_block + 1
    if state.node is Node.COUNTDOWN or state.node is Node.SWITCH:
        if state.clock.kept >= 1:
            wait_off(step)
            step.say("off.ask")
        else:
            ready_again(step)
        return
    timed = unit_of(state.current.target) == "seconds"
    step.set(came_off=count, came_off_in_block=in_block)
    if timed:
        wait_off(step)
    else:
        step.say("off.counted", n=count)
    if in_block >= 2:
        found = easier(step.setting.catalogue, state.current.movement, state.conditions)
        if isinstance(found, Substitution):
            step.say("off.offer", name=step.name(found.movement))
            return
    if timed:
        step.say("off.ask")


def wait_off(step: Step) -> None:
    """Off, with what was held so far on the clock."""
    step.set(clock=step.state.clock.stopped(step.at))
    step.cancel_all()
    step.drop_marks()
    step.go(Node.OFF)
    step.show("off")
    step.say("off.at", seconds=round(step.state.clock.kept))


def go_on(step: Step, meaning: Meaning | None = None) -> None:
    """Back on after a step off: the clock goes on from where it stopped."""
    countdown(step, LEAD)


def break_off(step: Step) -> None:
    """End the present set with what there is of it; nothing is logged of nothing."""
    state = step.state
    if state.node in (Node.WORK, Node.OFF, Node.PAUSED, Node.COUNTDOWN, Node.SWITCH):
        seconds = held(step)
        if unit_of(state.current.target) == "seconds" and seconds >= 1:
            put_on_record(step, seconds, "timer", whole=False)
    step.set(clock=Clock())
    step.cancel_all()
    step.drop_marks()
