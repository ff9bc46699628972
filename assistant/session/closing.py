"""The end of a session: effort of the whole, what was done, what comes next time."""

from __future__ import annotations

from assistant.session.effects import End
from assistant.session.facts import EffortLogged, How, SessionEnded
from assistant.session.nexttime import next_time
from assistant.session.nodes import Node
from assistant.session.step import Step
from assistant.session.wording import because
from catalogue.model import Detail
from intents.meaning import Meaning

SPOKEN_DECISIONS: dict[Detail, int] = {"brief": 1, "usual": 3, "full": 3}
"""More than three at once are not remembered (judgement); all of them are on record."""


def ask_session_effort(step: Step) -> None:
    """The work is over: ask for the effort of the session, if anything was logged."""
    if any(not s.undone for s in step.state.sets) and not step.state.alone:
        step.go(Node.SESSION_EFFORT)
        step.show("effort")
        step.say("session_effort.ask")
    else:
        close_as_meant(step)


def session_effort(step: Step, meaning: Meaning) -> None:
    rpe = meaning.slots.get("rpe")
    if not isinstance(rpe, int):
        step.say("effort.ask")
        return
    step.record(EffortLogged(None, rpe))
    step.say("effort.thanks", rpe=rpe)
    close_as_meant(step)


def close_as_meant(step: Step) -> None:
    """Close the way the session was coming to its end."""
    close(step, step.state.ending or "done")


def close(step: Step, how: How) -> None:
    """Say the summary and what comes next time; the session ends when that is spoken."""
    step.cancel_all()
    step.drop_marks()
    counted = [s for s in step.state.sets if not s.undone]
    step.go(Node.CLOSING)
    step.set(ending=how)
    step.show("done")
    if counted:
        step.say(
            "close.sets",
            sets=len({(s.block, s.movement, s.number) for s in counted}),
            seconds=round(step.state.work_seconds),
        )
        came_off = sum(s.came_off for s in counted)
        if came_off:
            step.say("close.came_off", n=came_off)
    else:
        step.say("close.nothing")
    decisions = next_time(step.setting, step.state)
    for reason in decisions[: SPOKEN_DECISIONS[step.state.detail]]:
        step.say_line(because(reason))
    step.say(f"close.{how}")
    step.record(SessionEnded(how, tuple(map(step.setting.sentence, decisions))))


def closed(step: Step) -> None:
    """The last line was spoken."""
    step.go(Node.ENDED)
    step.effects.append(End(step.state.ending or "done"))


def without_effort(step: Step, meaning: Meaning) -> None:
    """The session's effort is not wanted on record."""
    close_as_meant(step)
