"""Questions between the lines: did you say that, finish or not, silence, and not understood."""

from __future__ import annotations

from collections.abc import Callable

from assistant.session import checkin, closing, rest, talk, trouble, work
from assistant.session.nodes import MOVING, QUESTIONS, WAITING, Node
from assistant.session.step import Step
from catalogue.readiness import SPARE_FROM
from intents.meaning import Meaning

PATIENCE: dict[Node, tuple[float, float, float]] = {
    Node.CAUTIONS: (15.0, 20.0, 30.0),
    Node.SAFEGUARD: (25.0, 30.0, 60.0),
    Node.READY: (25.0, 30.0, 60.0),
    Node.OFF: (15.0, 25.0, 40.0),
    Node.AREA: (15.0, 20.0, 30.0),
    Node.WORK: (60.0, 45.0, 45.0),
}
"""Seconds of silence before the prompt, the help and the pause; other nodes ask sooner."""

SOON = (8.0, 12.0, 20.0)


def ask_finish(step: Step, meaning: Meaning) -> None:
    """Finishing is asked about; clock and rest wait meanwhile."""
    if step.state.node is Node.CONFIRM_FINISH:
        closing.close(step, "finished")
        return
    paused = step.state.node is Node.PAUSED
    back = trouble.hold_everything(step)
    step.go(Node.CONFIRM_FINISH)
    step.set(asked_from=Node.PAUSED if paused else back, back=back)
    step.show("confirm_finish")
    step.say("confirm_finish.ask")


def finish_yes(step: Step, meaning: Meaning) -> None:
    """Finish: a set under way is kept as far as it went."""
    if step.state.back in MOVING or step.state.back is Node.OFF:
        step.set(node=Node.PAUSED)
        work.break_off(step)
    step.set(ending="finished")
    closing.ask_session_effort(step)


def finish_no(step: Step, meaning: Meaning) -> None:
    if step.state.asked_from is Node.PAUSED:
        trouble.enter_pause(step, step.state.back or Node.READY)
        step.say("paused.ask")
    else:
        trouble.come_back(step, step.state.back or Node.READY)


def ask_confirm(step: Step, meanings: tuple[Meaning, ...], text: str) -> None:
    """Not sure enough to act: ask. In the middle of a movement nothing is asked."""
    unasked = (Node.CONFIRM, Node.CONFIRM_FINISH, Node.CLOSING)
    if step.state.node in MOVING or step.state.node in unasked:
        step.beep("not_understood")
        return
    back = step.state.node
    step.cancel("answer")
    step.set(asked=meanings, asked_from=back)
    misses = step.state.misses
    step.go(Node.CONFIRM)
    step.set(misses=misses)
    # Numbers have to be heard as they were understood; a bare command is named by its meaning.
    words = (text,) if any(m.slots for m in meanings) else tuple(map(_name, meanings))
    step.say("confirm.ask", words=words)


def _name(meaning: Meaning) -> str:
    return f"did_you_say_{meaning.id}"


def confirm_yes(step: Step, dispatch: Callable[[Step, Meaning], None]) -> None:
    asked, back = step.state.asked, step.state.asked_from or Node.READY
    step.set(asked=(), asked_from=None)
    step.go(back)
    for meaning in asked:
        dispatch(step, meaning)


def confirm_no(step: Step, meaning: Meaning) -> None:
    back = step.state.asked_from or Node.READY
    step.set(asked=(), asked_from=None)
    step.go(back)
    step.say("confirm.no")
    if back is Node.REST and (step.state.rest_until or 0) <= step.at:
        rest.over(step)


def rest_ran_out(step: Step) -> None:
    """The rest ended while a question about it was open: the question lapses."""
    step.hush()
    step.set(asked=(), asked_from=None)
    rest.over(step)


def silence(step: Step) -> None:
    """No answer: prompt, then help, then a pause (or on, where an answer is not needed)."""
    node, silences = step.state.node, step.state.silences
    step.set(silences=silences + 1)
    optional = node in (Node.EFFORT, Node.SESSION_EFFORT)
    if silences == 0:
        trouble.ask_again(step)
    elif optional:
        step.say("effort.left_out")
        if node is Node.SESSION_EFFORT:
            closing.close_as_meant(step)
        else:
            rest.begin_rest(step)
    elif silences == 1:
        talk.help_(step)
    elif node is Node.CONFIRM:
        confirm_no(step, Meaning("no"))
    elif node is Node.HURT_PART:
        trouble.hurt_part_unknown(step)
    elif node is Node.HURT_LEVEL:
        trouble.hurt_level_unknown(step)
    elif node is Node.PAIN_LEVEL and step.state.part is not None:
        # A pain without a level is taken as one to spare.
        checkin.pain_said(step, Meaning("pain", {"level": SPARE_FROM}))
    else:
        trouble.pause(step)
        return
    if step.state.node is Node.WORK:
        step.timer("answer", step.at + PATIENCE[Node.WORK][min(silences + 1, 2)])


def listen_after_speech(step: Step) -> None:
    """The coach has finished: from now on silence counts."""
    node = step.state.node
    if node in WAITING:
        patience = PATIENCE.get(node, SOON)[min(step.state.silences, 2)]
        step.timer("answer", step.at + patience)


def not_understood(step: Step, typed: bool) -> None:
    """First "say again", then the choices, then nothing more: other people talk too."""
    node, misses = step.state.node, step.state.misses
    if node in (Node.CLOSING, Node.ENDED):
        return
    if node not in QUESTIONS and not typed:
        return
    if node in MOVING:
        step.beep("not_understood")
        if typed:
            step.say("miss.in_work")
        return
    step.set(misses=misses + 1)
    if misses == 0:
        step.beep("not_understood")
        step.say("miss.again")
    elif misses == 1 or typed:
        step.beep("not_understood")
        talk.help_(step)
