"""The log by voice: what a set really was, effort with it, and taking things back."""

from __future__ import annotations

from dataclasses import replace

from assistant.session import blocks, work
from assistant.session.amounts import Unit, asked, unit_of
from assistant.session.facts import CorrectionUndone, SetCorrected, SetUndone, Side
from assistant.session.nodes import Node
from assistant.session.state import Clock, LoggedSet, in_a_set
from assistant.session.step import Step
from intents.meaning import Meaning

UNITS: tuple[Unit, ...] = ("seconds", "reps", "metres")


def said_amounts(meaning: Meaning) -> tuple[dict[Side, int], Unit | None]:
    """The amounts in a "log", by side ("none": whichever side is meant), and the unit if said."""
    slots = meaning.slots
    unit: Unit | None = next((u for u in UNITS if u in slots), None)
    by_side: dict[Side, int] = {}
    if "left" in slots:
        by_side["left"] = int(slots["left"])
    if "right" in slots:
        by_side["right"] = int(slots["right"])
    if "per_side" in slots:
        by_side = {"left": int(slots["per_side"]), "right": int(slots["per_side"])}
    if not by_side and unit is not None:
        by_side["none"] = int(slots[unit])
    return by_side, unit


def log(step: Step, meaning: Meaning) -> None:
    """Log the present set with what is said, or correct the last one on record."""
    amounts, unit = said_amounts(meaning)
    if not amounts:
        step.say("log.what")
        return
    state = step.state
    fresh = not any(
        s.block == state.block and s.movement == state.current.movement and not s.undone
        for s in state.sets
    )
    logs_present = in_a_set(state) or (state.node is Node.READY and fresh)
    if logs_present:
        if not _fits(step, unit, unit_of(state.current.target)):
            return
        _log_present(step, amounts)
    else:
        _correct(step, amounts, unit)


def _log_present(step: Step, amounts: dict[Side, int]) -> None:
    """The athlete says what the present set was; the clock's view gives way to it."""
    while True:
        side = step.state.side
        amount = amounts.get(side, amounts.get("none"))
        if amount is None:
            return
        block, number = step.state.block, step.state.number
        whole = amount >= asked(step.state.current, step.movement)
        work.put_on_record(step, float(amount), "said", whole=whole)
        work.next_side(step)
        same_set = step.state.block == block and step.state.number == number
        if "none" in amounts or not same_set or step.state.node is not Node.SWITCH:
            return


def _correct(step: Step, amounts: dict[Side, int], unit: Unit | None) -> None:
    last = next((s for s in reversed(step.state.sets) if not s.undone), None)
    if last is None:
        step.say("log.nothing_yet")
        return
    set_unit = last.unit
    if not _fits(step, unit, set_unit):
        return
    same = [
        s
        for s in step.state.sets
        if not s.undone
        and (s.block, s.movement, s.number) == (last.block, last.movement, last.number)
    ]
    changed = False
    for logged in same:
        amount = amounts.get(logged.side)
        if amount is None and "none" in amounts and logged.set_id == last.set_id:
            amount = amounts["none"]
        if amount is None:
            continue
        _change(step, logged, float(amount))
        step.record(
            SetCorrected(
                logged.set_id,
                seconds=float(amount) if set_unit == "seconds" else None,
                reps=amount if set_unit == "reps" else None,
                metres=amount if set_unit == "metres" else None,
            )
        )
        sided = "" if logged.side == "none" else "_side"
        step.say(f"corrected.{set_unit}{sided}", amount=amount, side=logged.side)
        changed = True
    if not changed:
        step.say("log.no_sides")


def _fits(step: Step, said: Unit | None, counted: Unit) -> bool:
    if said is not None and said != counted:
        step.say(f"log.counts_{counted}")
        return False
    return True


def _change(step: Step, logged: LoggedSet, amount: float) -> None:
    new = replace(logged, amounts=(*logged.amounts, amount))
    _put(step, new)
    step.set(undoable=(*step.state.undoable, ("correction", logged.set_id)))


def _put(step: Step, new: LoggedSet) -> None:
    step.set(sets=tuple(new if s.set_id == new.set_id else s for s in step.state.sets))


def undo(step: Step, meaning: Meaning) -> None:
    """Take back the last set or correction."""
    if not step.state.undoable:
        step.say("undo.nothing")
        return
    *rest_of, (kind, set_id) = step.state.undoable
    step.set(undoable=tuple(rest_of))
    logged = next(s for s in step.state.sets if s.set_id == set_id)
    unit = logged.unit
    if kind == "correction":
        new = replace(logged, amounts=logged.amounts[:-1])
        _put(step, new)
        step.record(CorrectionUndone(set_id))
        sided = "" if new.side == "none" else "_side"
        step.say(f"corrected.{unit}{sided}", amount=round(new.amount), side=new.side)
        return
    _put(step, replace(logged, undone=True))
    step.record(SetUndone(set_id))
    if unit == "seconds":
        step.set(work_seconds=max(0.0, step.state.work_seconds - logged.amounts[0]))
    step.say("undo.set", n=logged.number, name=step.name(logged.movement))
    here = logged.block == step.state.block and logged.movement == step.state.current.movement
    if here and step.state.node in (Node.REST, Node.EFFORT, Node.READY, Node.SWITCH):
        step.set(number=logged.number, side=logged.side, clock=Clock(), came_off=0)
        blocks.ready_again(step)
