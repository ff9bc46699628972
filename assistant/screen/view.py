"""What is to be seen large: a pure view of the session's state.

The view follows from the state, so it can not fall behind it; the session's own headline (its
effect `Show`) adds only what the state does not hold: when a countdown ends, and which device was
lost. Numbers are the seconds left, or how much is asked for; the state is told by a shape and a
word, and colour is never needed to read it.
"""

from __future__ import annotations

from dataclasses import dataclass

from assistant.session.amounts import asked, sets_of, unit_of
from assistant.session.effects import Show
from assistant.session.facts import Side
from assistant.session.nodes import AT_A_BLOCK, Node
from assistant.session.state import Setting, State, in_a_set, place_of
from catalogue.model import Movement
from intents.lines import Line

LOST = "lost_"


@dataclass(frozen=True)
class View:
    """One state of the screen.

    `headline` names a word `headline_...` of the language, `shape` a drawing. `until` is the
    session time that is counted down to; `number` stands still, and `unit` follows it. `about` is
    the small line above: which movement, which set.
    """

    headline: str
    shape: str
    until: float | None = None
    number: int | None = None
    unit: str = ""
    side: Side = "none"
    about: tuple[Line, ...] = ()

    def shown_number(self, now: float) -> int | None:
        """The number at a session time: whole seconds that are left, the one begun included.

        >>> View("rest", "rest", until=30.0).shown_number(25.5)
        5
        """
        if self.until is None:
            return self.number
        return max(0, -int(-(self.until - now) // 1))


QUESTION: dict[Node, str] = {
    Node.CAUTIONS: "cautions",
    Node.PAIN: "pain",
    Node.PAIN_PART: "where",
    Node.PAIN_LEVEL: "how_bad",
    Node.PAIN_MORE: "pain",
    Node.ENERGY: "energy",
    Node.EQUIPMENT: "equipment",
    Node.MISSING: "missing",
    Node.AREA: "area",
    Node.SAFEGUARD: "safeguard",
    Node.EFFORT: "effort",
    Node.SESSION_EFFORT: "effort",
    Node.STAND_IN: "yes_or_no",
    Node.CONFIRM: "yes_or_no",
    Node.CONFIRM_FINISH: "end_here",
    Node.HURT_PART: "where",
    Node.HURT_LEVEL: "how_bad",
    Node.HURT_CHOICE: "yes_or_no",
}
"""The headline of each question."""

WORK = {"hold": "hold", "work": "move"}
"""The headline of timed work, by the kind of dosage."""

UNITS = {"seconds": "", "reps": "×", "metres": "m"}


def view_of(setting: Setting, state: State, shown: Show | None = None) -> View:
    """The view of a state; `shown` is the session's last effect of that kind."""
    node, shown = state.node, shown or Show("")
    about = _about(setting, state)
    movement = setting.catalogue.movements[state.current.movement]
    if node in (Node.CLOSING, Node.ENDED):
        return View("unwell", "stop") if state.ending == "unwell" else View("done", "done")
    if node in QUESTION:
        return View(QUESTION[node], "question", about=about)
    if node is Node.PAUSED:
        number = _waiting(state, movement)
        if shown.headline.startswith(LOST):
            return View(shown.headline, "lost", number=number, about=about)
        return View("paused", "paused", number=number, about=about)
    if node is Node.REST:
        return View("rest", "rest", until=state.rest_until, about=about)
    side = state.side
    if node is Node.READY:
        amount = asked(state.current, movement)
        return View("ready", "ready", None, amount, _unit(state), side, about)
    if node is Node.OFF:
        return View("off", "off", None, _left(state, movement), "", side, about)
    if node is Node.SWITCH:
        return View("switch", "switch", _until(shown, "switch"), None, "", side, about)
    if node is Node.COUNTDOWN:
        return View("get_set", "get_set", _until(shown, "get_set"), None, "", side, about)
    if unit_of(state.current.target) != "seconds":
        amount = asked(state.current, movement)
        return View("count", "work", None, amount, _unit(state), side, about)
    ends = (state.clock.since or state.at) + asked(state.current, movement) - state.clock.kept
    return View(WORK.get(movement.dosage.kind, "work"), "work", ends, None, "", side, about)


def _about(setting: Setting, state: State) -> tuple[Line, ...]:
    if place_of(state) not in AT_A_BLOCK:
        minutes = max(1, round(setting.plan.seconds / 60))
        return (Line("screen.session", {"athlete": setting.profile.athlete, "minutes": minutes}),)
    block = state.current
    name = setting.catalogue.movements[block.movement].name
    whole, sets = len(state.blocks), sets_of(block)
    number = min(max(1, state.number), sets)
    return (
        Line("screen.block", {"n": state.block + 1, "of": whole, "name": name}),
        Line("screen.set", {"n": number, "of": sets}),
    )


def _unit(state: State) -> str:
    return UNITS[unit_of(state.current.target)]


def _until(shown: Show, headline: str) -> float | None:
    return shown.until if shown.headline == headline else None


def _left(state: State, movement: Movement) -> int | None:
    """Seconds of a hold that are still to do while its clock stands."""
    if unit_of(state.current.target) != "seconds":
        return None
    return max(0, round(asked(state.current, movement) - state.clock.seconds(state.at)))


def _waiting(state: State, movement: Movement) -> int | None:
    """What a pause keeps: the rest of a hold, or of a rest."""
    if state.rest_left and place_of(state) is Node.REST:
        return round(state.rest_left)
    return _left(state, movement) if in_a_set(state) and state.clock.kept else None
