"""Talk beside the work: again, explain, cue, safety, time, what next, help, voice."""

from __future__ import annotations

from dataclasses import replace

from assistant.session import rest
from assistant.session.amounts import asked, unit_of
from assistant.session.facts import Chosen
from assistant.session.nodes import AT_A_BLOCK, Node
from assistant.session.step import Step
from assistant.session.wording import because, dose, say_cue
from catalogue.detail import lowered, raised
from catalogue.hand_load import explain_share, hand_share
from catalogue.pace import Talk, estimate_seconds
from intents.meaning import Meaning

VOLUME_STEP = 0.15
RATE_STEP = 20
HELP_WORDS = 5
"""More choices than this at once are not remembered (judgement)."""


def repeat(step: Step, meaning: Meaning) -> None:
    for line in step.state.last_said:
        step.say_line(line)


def explain(step: Step, meaning: Meaning) -> None:
    for text in step.movement.set_up:
        step.say("text", text=text)
    step.say_line(dose(step.state.current, step.movement))
    support = step.movement.support
    if support is not None:
        step.say_line(because(explain_share(hand_share(support), step.movement.name)))


def cue(step: Step, meaning: Meaning) -> None:
    say_cue(step)


def safety(step: Step, meaning: Meaning) -> None:
    for text in step.movement.safety:
        step.say("text", text=text)
    step.say("safety.always")


def time_left(step: Step, meaning: Meaning) -> None:
    """Of the hold, of the rest, or of the session."""
    state = step.state
    if state.node in (Node.WORK, Node.OFF) and unit_of(state.current.target) == "seconds":
        left = asked(state.current, step.movement) - state.clock.seconds(step.at)
        step.say("time.left", seconds=max(0, round(left)))
    elif state.node is Node.REST and state.rest_until is not None:
        step.say("time.rest", seconds=max(0, round(state.rest_until - step.at)))
    else:
        setting = step.setting
        talk = replace(
            Talk.to(setting.profile, setting.history, setting.day, state.cautions),
            detail=state.detail,
            rate=state.rate,
        )
        left = sum(
            estimate_seconds(b, setting.catalogue.movements[b.movement], talk)
            for b in state.blocks[state.block :]
        )
        step.say("time.session", minutes=max(1, round(left / 60)))


def whats_next(step: Step, meaning: Meaning) -> None:
    if step.state.node is Node.REST or (
        step.state.node in AT_A_BLOCK and not rest.is_last_set(step)
    ):
        rest.preview(step)
    elif rest.is_last_block(step):
        step.say("next.nothing")
    else:
        block = step.state.blocks[step.state.block + 1]
        step.say("rest.next_block", name=step.name(block.movement))


def loudness(step: Step, meaning: Meaning) -> None:
    """ "Louder" and "quieter": kept for the next sessions too."""
    change = VOLUME_STEP if meaning.id == "louder" else -VOLUME_STEP
    volume = round(min(1.0, max(0.1, step.state.volume + change)), 2)
    if volume == step.state.volume:
        step.say(f"voice.{meaning.id}_end")
        return
    step.set_voice(volume=volume)
    step.record(Chosen("volume", str(volume)))
    step.say(f"voice.{meaning.id}")


def pace(step: Step, meaning: Meaning) -> None:
    """ "Slower" and "faster": kept for the next sessions too."""
    change = RATE_STEP if meaning.id == "faster" else -RATE_STEP
    rate = min(300, max(80, step.state.rate + change))
    if rate == step.state.rate:
        step.say(f"voice.{meaning.id}_end")
        return
    step.set_voice(rate=rate)
    step.record(Chosen("rate", str(rate)))
    step.say(f"voice.{meaning.id}")


def detail(step: Step, meaning: Meaning) -> None:
    """ "Say less" and "say more": one level of detail, kept for the next sessions too."""
    walk = lowered if meaning.id == "less" else raised
    level = walk(step.state.detail)
    if level is None:
        step.say(f"detail.{meaning.id}_end")
        return
    step.set(detail=level)
    step.record(Chosen("detail", level))
    step.say(f"detail.{level}")


def other_voice(step: Step, meaning: Meaning) -> None:
    """The next of the voices that there are, kept for the next sessions too."""
    voices, present = step.setting.voices, step.state.voice
    after = voices[(voices.index(present) + 1) % len(voices)] if present in voices else voices[0]
    if after == present:
        step.say("voice.only")
        return
    step.set_voice(voice=after)
    step.record(Chosen("voice", after))
    step.say("voice.other")


def help_(step: Step, meaning: Meaning | None = None) -> None:
    """What can be said here, the likeliest first."""
    choices = choices_at(step.state.node)
    step.say("help.say", words=choices[:HELP_WORDS])
    step.say("help.always")


def choices_at(node: Node) -> tuple[str, ...]:
    """The likeliest meanings at a node, as ids looked up among the language's words."""
    return CHOICES.get(node, ("resume", "finish"))


CHOICES: dict[Node, tuple[str, ...]] = {
    Node.CAUTIONS: ("yes", "finish"),
    Node.PAIN: ("no", "pain_example"),
    Node.PAIN_PART: ("part_example", "no"),
    Node.PAIN_LEVEL: ("number_example",),
    Node.PAIN_MORE: ("no", "pain_example"),
    Node.ENERGY: ("yes", "no"),
    Node.EQUIPMENT: ("yes", "lack"),
    Node.MISSING: ("lack", "no"),
    Node.AREA: ("yes", "no"),
    Node.SAFEGUARD: ("yes", "no", "easier", "skip"),
    Node.READY: ("start", "easier", "swap", "explain", "skip"),
    Node.COUNTDOWN: ("pause", "came_off"),
    Node.WORK: ("done", "came_off", "pause", "time_left", "easier"),
    Node.OFF: ("start", "done", "easier"),
    Node.SWITCH: ("pause", "skip"),
    Node.REST: ("next", "log_example", "more_rest", "undo", "whats_next"),
    Node.EFFORT: ("number_example", "next"),
    Node.STAND_IN: ("yes", "no"),
    Node.PAUSED: ("resume", "next", "finish"),
    Node.CONFIRM: ("yes", "no"),
    Node.CONFIRM_FINISH: ("yes", "no"),
    Node.HURT_PART: ("part_example", "finish"),
    Node.HURT_LEVEL: ("number_example",),
    Node.HURT_CHOICE: ("yes", "finish"),
    Node.SESSION_EFFORT: ("number_example", "next"),
}
