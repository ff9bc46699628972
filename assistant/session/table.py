"""The session graph as one table: what each node makes of each meaning and each timer.

`MEANINGS[node]` are the meanings in scope there (safety words are in scope everywhere), so the
scope that narrows hearing and the table that acts on it can not drift apart. `TIMERS[node]` are the
timers a node answers to; any other timer that runs out there is ignored by design.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from assistant.session import (
    blocks,
    change,
    checkin,
    closing,
    logs,
    questions,
    rest,
    talk,
    trouble,
    work,
)
from assistant.session.nodes import AT_A_BLOCK, Node
from assistant.session.state import place_of
from assistant.session.step import Step
from intents.meaning import Meaning

Handler = Callable[[Step, Meaning], None]
TimerHandler = Callable[[Step], None]

VOICE: dict[str, Handler] = {
    "louder": talk.loudness,
    "quieter": talk.loudness,
    "slower": talk.pace,
    "faster": talk.pace,
    "less": talk.detail,
    "more": talk.detail,
    "repeat": talk.repeat,
    "help": talk.help_,
}

SAFETY: dict[str, Handler] = {
    "stop": trouble.stop,
    "pain": trouble.pain,
    "unwell": trouble.unwell,
}

ALWAYS: dict[str, Handler] = {**SAFETY, **VOICE, "pause": trouble.pause,
                              "finish": questions.ask_finish}  # fmt: skip

TALK: dict[str, Handler] = {
    "explain": talk.explain,
    "cue": talk.cue,
    "safety": talk.safety,
    "time_left": talk.time_left,
    "whats_next": talk.whats_next,
}

CHANGE: dict[str, Handler] = {
    "easier": change.shift,
    "harder": change.shift,
    "swap": change.swap,
    "skip": change.skip,
    "lack": change.lack,
    "have": change.have,
    "next": change.go_next,
    "back": change.go_back,
}

LOG: dict[str, Handler] = {"log": logs.log, "undo": logs.undo, "effort": rest.effort}

BLOCK: dict[str, Handler] = {**ALWAYS, **TALK, **CHANGE, **LOG}

WAITS: dict[str, Handler] = {"other_voice": talk.other_voice}
"""Where nobody is in a movement, what can as well be said later: a small scope is heard better."""


def _of_the_work(handler: Handler) -> Handler:
    """In a pause, a change is for the work; a question that was broken off is asked again."""

    def handle(step: Step, meaning: Meaning) -> None:
        (handler if place_of(step.state) in AT_A_BLOCK else trouble.resume)(step, meaning)

    return handle


def _and_ask_on(handler: Handler) -> Handler:
    """What is there or missing is noted; where that changes nothing, the question stands."""

    def handle(step: Step, meaning: Meaning) -> None:
        before = step.state.blocks
        handler(step, meaning)
        if step.state.node is Node.SAFEGUARD and step.state.blocks == before:
            trouble.ask_again(step)

    return handle


def _answer_no_pain(step: Step, meaning: Meaning) -> None:
    checkin.no_pain(step)


CHECK_IN: dict[str, Handler] = {**ALWAYS, "pain": checkin.pain_said}
"""Before the work, pain is part of the check-in, whenever it is told."""

MEANINGS: Mapping[Node, Mapping[str, Handler]] = {
    Node.CAUTIONS: {
        **CHECK_IN,
        "yes": checkin.cautions_accepted,
        "no": checkin.cautions_refused,
    },
    Node.PAIN: {
        **ALWAYS,
        "no": _answer_no_pain,
        "yes": checkin.some_pain,
        "pain": checkin.pain_said,
        "skip": _answer_no_pain,
    },
    Node.PAIN_PART: {**ALWAYS, "pain": checkin.pain_said, "no": _answer_no_pain},
    Node.PAIN_LEVEL: {**ALWAYS, "pain": checkin.pain_said, "no": _answer_no_pain},
    Node.PAIN_MORE: {
        **ALWAYS,
        "no": _answer_no_pain,
        "yes": checkin.some_pain,
        "pain": checkin.pain_said,
    },
    Node.ENERGY: {
        **CHECK_IN,
        "yes": checkin.energy,
        "no": checkin.energy,
        "easier": checkin.energy,
    },
    Node.EQUIPMENT: {
        **CHECK_IN,
        "yes": checkin.equipment_there,
        "no": checkin.equipment_not_there,
        "lack": checkin.equipment_lack,
        "have": checkin.equipment_have,
    },
    Node.MISSING: {
        **CHECK_IN,
        "no": checkin.equipment_there,
        "done": checkin.equipment_there,
        "next": checkin.equipment_there,
        "yes": checkin.equipment_not_there,
        "lack": checkin.equipment_lack,
        "have": checkin.equipment_have,
    },
    Node.AREA: {
        **CHECK_IN,
        "yes": checkin.area_clear,
        "start": checkin.area_clear,
        "done": checkin.area_clear,
        "next": checkin.area_clear,
        "no": checkin.area_not_clear,
    },
    Node.SAFEGUARD: {
        **ALWAYS,
        **TALK,
        **CHANGE,
        "lack": _and_ask_on(change.lack),
        "have": _and_ask_on(change.have),
        "yes": blocks.safeguard_there,
        "no": blocks.safeguard_lacking,
        "undo": logs.undo,
        "effort": rest.effort,
    },
    Node.READY: {**BLOCK, **WAITS, "start": work.start, "yes": work.start,
                 "more_rest": rest.more_rest},
    Node.COUNTDOWN: {**ALWAYS, "came_off": work.came_off, "easier": change.shift,
                     "skip": change.skip, "lack": change.lack},
    Node.WORK: {**BLOCK, "done": work.done, "came_off": work.came_off},
    Node.OFF: {
        **BLOCK,
        "start": work.go_on,
        "resume": work.go_on,
        "yes": work.go_on,
        "done": work.done,
        "came_off": work.came_off,
    },
    Node.SWITCH: {**BLOCK, "start": work.start, "came_off": work.came_off},
    Node.REST: {**BLOCK, **WAITS, "start": work.start, "more_rest": rest.more_rest,
                "done": change.go_next},
    Node.EFFORT: {**BLOCK, "no": rest.skip_effort, "done": rest.skip_effort,
                  "skip": rest.skip_effort, "more_rest": rest.more_rest},
    Node.STAND_IN: {
        **ALWAYS,
        "yes": change.stand_in_yes,
        "have": change.stand_in_yes,
        "no": change.stand_in_no,
        "lack": change.stand_in_no,
        "skip": change.skip,
    },
    Node.PAUSED: {
        **ALWAYS,
        **WAITS,
        **LOG,
        "resume": trouble.resume,
        "start": trouble.resume,
        "yes": trouble.resume,
        "next": _of_the_work(change.go_next),
        "skip": _of_the_work(change.skip),
        "time_left": talk.time_left,
        "done": trouble.done_in_pause,
        "easier": _of_the_work(change.shift),
    },
    Node.CONFIRM: {**ALWAYS, "no": questions.confirm_no},
    Node.CONFIRM_FINISH: {**ALWAYS, "yes": questions.finish_yes, "no": questions.finish_no,
                          "resume": questions.finish_no},
    Node.HURT_PART: {**ALWAYS, "pain": trouble.hurt_said, "no": trouble.hurt_part_unknown},
    Node.HURT_LEVEL: {**ALWAYS, "pain": trouble.hurt_said},
    Node.HURT_CHOICE: {**ALWAYS, "yes": trouble.hurt_go_on, "next": trouble.hurt_go_on,
                       "no": trouble.hurt_finish, "finish": trouble.hurt_finish},
    Node.SESSION_EFFORT: {
        **ALWAYS,
        "effort": closing.session_effort,
        "no": closing.without_effort,
        "next": closing.without_effort,
        "skip": closing.without_effort,
        "done": closing.without_effort,
        "finish": closing.without_effort,
        "undo": logs.undo,
    },
    Node.CLOSING: {
        "stop": trouble.stop_closing,
        "pain": trouble.pain_closing,
        "unwell": trouble.unwell,
        "louder": talk.loudness,
        "quieter": talk.loudness,
        "repeat": talk.repeat,
    },
    Node.ENDED: {},
}  # fmt: skip

PAUSE_TIMERS: dict[str, TimerHandler] = {"remind": trouble.remind, "leave": trouble.leave}

TIMERS: Mapping[Node, Mapping[str, TimerHandler]] = {
    Node.COUNTDOWN: {"begin": work.begin},
    Node.WORK: {
        "end": work.time_is_up,
        "half": work.half,
        "ten": work.last_ten,
        "cue": work.cue_now,
        "quiet": work.quiet,
        "tick": work.tick,
        "answer": questions.silence,
    },
    Node.SWITCH: {"switch": work.switched},
    Node.REST: {"rest_end": rest.over, "rest_ten": rest.last_ten},
    Node.PAUSED: PAUSE_TIMERS,
    Node.CONFIRM: {"answer": questions.silence, "rest_end": questions.rest_ran_out},
    **{
        node: {"answer": questions.silence}
        for node in (
            Node.CAUTIONS, Node.PAIN, Node.PAIN_PART, Node.PAIN_LEVEL, Node.PAIN_MORE,
            Node.ENERGY, Node.EQUIPMENT, Node.MISSING, Node.AREA, Node.SAFEGUARD, Node.READY,
            Node.OFF, Node.EFFORT, Node.STAND_IN, Node.CONFIRM_FINISH, Node.HURT_PART,
            Node.HURT_LEVEL, Node.HURT_CHOICE, Node.SESSION_EFFORT,
        )
    },
    Node.CLOSING: {},
    Node.ENDED: {},
}  # fmt: skip
