"""Before the work: cautions, pain, energy, equipment, clear space."""

from __future__ import annotations

from dataclasses import replace

from assistant.session import blocks, cautions, closing
from assistant.session.facts import CautionsAccepted, CheckedIn, PainReported, ReturnChosen
from assistant.session.nodes import Node
from assistant.session.step import Step
from assistant.session.wording import because
from catalogue.dosing import target_for
from catalogue.model import BodyPart, Phase
from catalogue.plan import Block
from catalogue.readiness import REST_ABOVE, SPARE_FROM, Readiness, changes
from intents.meaning import Meaning

CHECKING_IN = frozenset(
    {
        Node.CAUTIONS, Node.PAIN, Node.PAIN_PART, Node.PAIN_LEVEL, Node.PAIN_MORE, Node.ENERGY,
        Node.EQUIPMENT, Node.MISSING, Node.AREA,
    }
)  # fmt: skip
"""Nodes before the work: each has to be answered before there is any."""


def open_session(step: Step) -> None:
    """Greeting, the session's cautions, and the first question: are they taken on?"""
    setting = step.setting
    minutes = max(1, round(setting.plan.seconds / 60))
    step.say("open.hello", athlete=setting.profile.athlete, minutes=minutes)
    if setting.returning:
        step.record(ReturnChosen())
        step.say("open.returning", interruptible=False)
    if setting.first_time or not setting.accepted:
        cautions.say_all(step)
    else:
        step.say("open.caution_short")
    if setting.accepted:
        into_check_in(step)
    else:
        cautions.ask(step)


def cautions_accepted(step: Step, meaning: Meaning) -> None:
    """ "Yes" counts once the cautions were heard in full."""
    if step.state.opening_tag is not None:
        cautions.say_question(step, before="cautions.early")
        return
    step.record(CautionsAccepted(step.setting.cautions))
    step.set(accepted=True)
    into_check_in(step)


def cautions_refused(step: Step, meaning: Meaning) -> None:
    step.say("cautions.no")


def into_check_in(step: Step) -> None:
    """Into the check-in, with the first thing that the plan had to leave out."""
    for reason in step.setting.plan.left_out[:1]:
        step.say_line(because(reason))
    step.show("check_in")
    ask_pain(step)


def ask_pain(step: Step) -> None:
    step.go(Node.PAIN)
    step.say("pain.ask")


def no_pain(step: Step, meaning: Meaning | None = None) -> None:
    ask_energy(step)


def some_pain(step: Step, meaning: Meaning) -> None:
    """ "Yes": where?"""
    step.go(Node.PAIN_PART)
    step.say("pain.where")


def pain_said(step: Step, meaning: Meaning) -> None:
    """A part, a level, or both; what is missing is asked for."""
    part, level = meaning.slots.get("part"), meaning.slots.get("level")
    known = BodyPart(str(part)) if part is not None else step.state.part
    if known is None:
        if level == 0:
            no_pain(step)
            return
        step.go(Node.PAIN_PART)
        step.say("pain.where")
        return
    step.set(part=known)
    if not isinstance(level, int):
        step.go(Node.PAIN_LEVEL)
        step.say("pain.level", part=known.value)
        return
    step.set(pain={**step.state.pain, known: level}, part=None)
    step.record(PainReported(known.value, level, None))
    if level > REST_ABOVE:
        step.say("pain.too_much", part=known.value, level=level, interruptible=False)
        closing.close(step, "pain")
        return
    if level >= SPARE_FROM:
        spare(step, known)
        step.say("pain.spared", part=known.value)
    elif level > 0:
        step.say("pain.watched", part=known.value)
    step.go(Node.PAIN_MORE)
    step.say("pain.more")


def spare(step: Step, part: BodyPart) -> None:
    """Leave alone what loads a part from here on."""
    conditions = step.state.conditions
    step.set(conditions=replace(conditions, hurting=conditions.hurting | {part}))


def ask_energy(step: Step) -> None:
    if not step.state.accepted:
        # Pain was told before the cautions were taken on.
        cautions.ask(step)
        return
    step.go(Node.ENERGY)
    step.say("energy.ask")


def energy(step: Step, meaning: Meaning) -> None:
    """Little energy makes the main part lighter by the stated rules of a low day."""
    normal = meaning.id == "yes"
    step.set(energy_normal=normal)
    if not normal:
        fewer = changes(Readiness(energy="low")).fewer_sets
        lighter = tuple(lightened(step, block, fewer) for block in step.state.blocks)
        step.set(blocks=lighter, origin=lighter)
        step.say("energy.lighter")
    ask_equipment(step)


def lightened(step: Step, block: Block, fewer: int) -> Block:
    """A main block with fewer sets, at the bottom of its range."""
    if block.phase is not Phase.MAIN:
        return block
    bottom = target_for(step.setting.catalogue.movements[block.movement])
    sets = max(1, block.target.sets - fewer)
    return block.model_copy(update={"target": bottom.model_copy(update={"sets": sets})})


def ask_equipment(step: Step) -> None:
    """Name what the day needs and the profile has; nothing to ask where nothing is needed."""
    catalogue = step.setting.catalogue
    needed: list[str] = []
    for block in step.state.blocks:
        for item in catalogue.movements[block.movement].equipment:
            if item not in needed:
                needed.append(item)
    if not needed:
        ask_area(step)
        return
    step.go(Node.EQUIPMENT)
    step.say("equipment.ask", items=tuple(catalogue.equipment[i].name for i in needed))


def equipment_there(step: Step, meaning: Meaning | None = None) -> None:
    ask_area(step)


def equipment_not_there(step: Step, meaning: Meaning) -> None:
    step.go(Node.MISSING)
    step.say("equipment.what_is_missing")


def equipment_lack(step: Step, meaning: Meaning) -> None:
    catalogue = step.setting.catalogue
    item = meaning.slots.get("equipment")
    if item is None:
        equipment_not_there(step, meaning)
        return
    step.set(conditions=step.state.conditions.without(str(item)))
    step.go(Node.MISSING)
    step.say("equipment.without", name=catalogue.equipment[str(item)].name)
    step.say("equipment.anything_else")


def equipment_have(step: Step, meaning: Meaning) -> None:
    item = meaning.slots.get("equipment")
    if item is None:
        step.say("have.what")
        return
    conditions = step.state.conditions
    step.set(conditions=replace(conditions, equipment=conditions.equipment | {str(item)}))
    step.say("have.noted", name=step.setting.catalogue.equipment[str(item)].name)
    step.say("equipment.anything_else")
    step.go(Node.MISSING)


def ask_area(step: Step) -> None:
    state = step.state
    lacking = tuple(sorted(frozenset(step.setting.profile.equipment) - state.conditions.equipment))
    pain = {p.value: v for p, v in state.pain.items()}
    step.record(
        CheckedIn(max(pain.values(), default=0), tuple(sorted(pain)), state.energy_normal, lacking)
    )
    step.go(Node.AREA)
    step.show("area")
    metres = max(
        2, *(round(step.setting.catalogue.movements[b.movement].space) for b in state.blocks)
    )
    step.say("area.ask", metres=metres)


def area_clear(step: Step, meaning: Meaning) -> None:
    step.say("area.thanks")
    blocks.enter(step, 0)


def area_not_clear(step: Step, meaning: Meaning) -> None:
    step.say("area.take_time")
