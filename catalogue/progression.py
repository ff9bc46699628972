"""What comes next for a movement, decided from the log, with the sets behind the decision.

The rules in the order in which they are asked (`RULES` names the source of each):

1. pain: step back after pain in the last session of the movement.
2. misses: after two missed sessions in a row at the same target, go down to the bottom of the
   range; from the bottom, step back to the easier movement.
3. away: start again at the bottom of the range after three weeks without the movement.
4. top twice: advance when the top of the range was reached in all sets of the last two sessions
   with no step-off and effort at or under the target.
5. two for two (counts only): two or more over the target in the last set of two sessions in a
   row, with no set under it: the target goes up by two, and past the top of the range this
   means to advance.
6. more: every set of the last session reached the target, with no step-off and effort at or
   under the target: a little more within the range.
7. otherwise hold.

An effort that was not given stands in nobody's way.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from catalogue.conditions import LEVELS, STEPS_PER_LEVEL, level_index, rung
from catalogue.dosing import amount_of, range_of, target_for
from catalogue.history import History, SetDone, by_session
from catalogue.model import Catalogue, Id, Level, Movement, Profile, Sides
from catalogue.plan import Target
from catalogue.reason import Reason

Kind = Literal["advance", "hold", "more", "less", "step_back"]

TARGET_RPE = 7
AWAY_DAYS = 21
STEP_UP = {"hold": 5, "work": 5, "reps": 1, "reps_per_side": 1, "distance": 2}
"""How much more of each dosage at a time: seconds, repetitions, metres."""


class Rule(NamedTuple):
    """One rule and where it comes from."""

    says: str
    source: str


COMMON_PRACTICE = "common practice, no published source"
RULES: dict[str, Rule] = {
    "pain": Rule("step back after pain in the movement", COMMON_PRACTICE),
    "misses": Rule("go down after two misses in a row", COMMON_PRACTICE),
    "away": Rule(f"start low again after {AWAY_DAYS} days away", COMMON_PRACTICE),
    "top_twice": Rule(
        f"advance after the top of the range in all sets of two sessions, effort {TARGET_RPE} "
        "or less",
        COMMON_PRACTICE + " (double progression)",
    ),
    "two_for_two": Rule(
        "two or more over the goal in the last set of two sessions in a row",
        "Baechle and Earle, Essentials of Strength Training and Conditioning, as quoted in "
        "secondary sources",
    ),
    "more": Rule("a little more within the range once every set reached it", COMMON_PRACTICE),
    "hold": Rule("stay until the range is mastered", COMMON_PRACTICE),
    "first": Rule("begin at the bottom of the range", COMMON_PRACTICE),
}


@dataclass(frozen=True)
class Step:
    """The decision: what kind, why, and the movement and target that come next.

    `rule` is a key of `RULES`; `sets` are the logged sets that the decision rests on.
    """

    kind: Kind
    rule: str
    reason: Reason
    movement_id: Id
    target: Target
    sets: tuple[SetDone, ...] = ()


Session = tuple[SetDone, ...]


def decide_next(
    catalogue: Catalogue,
    movement_id: str,
    target: Target | None,
    history: History,
    today: int | None = None,
) -> Step:
    """The next step for a movement; see the rules above.

    `target` is what was asked for last; None takes it from the log. `today` (a date's ordinal)
    lets a long break be seen.
    """
    movement = catalogue.movements[movement_id]
    sessions = by_session(done for done in history.sets if done.movement == movement_id)
    return _decide(catalogue, movement, target, sessions[-2:], today)


def why(catalogue: Catalogue, movement_id: str, history: History, today: int | None = None) -> Step:
    """The present decision on a movement, with the sets behind it in `sets`."""
    return decide_next(catalogue, movement_id, None, history, today)


def _decide(
    catalogue: Catalogue,
    movement: Movement,
    target: Target | None,
    sessions: Sequence[Session],
    today: int | None,
) -> Step:
    if not sessions:
        first = target or target_for(movement)
        return Step("hold", "first", _said("first", movement, first), movement.id, first)
    last = sessions[-1]
    span = range_of(movement.dosage)
    asked = amount_of(target) if target else last[-1].target
    rule, amount = _rule(movement, asked, sessions, today)
    behind = tuple(done for session in sessions for done in session)
    if rule == "pain" or (rule == "misses" and asked <= span.low):
        return _move(catalogue, movement, "step_back", rule, span.low, behind)
    if amount > span.high:
        return _move(catalogue, movement, "advance", rule, span.high, behind)
    kind: Kind = "more" if amount > asked else "less" if amount < asked else "hold"
    aim = target_for(movement, amount)
    return Step(kind, rule, _said(f"{kind}_{rule}", movement, aim), movement.id, aim, behind)


def _rule(
    movement: Movement, asked: int, sessions: Sequence[Session], today: int | None
) -> tuple[str, int]:
    """The first rule that applies and the amount it asks for; over the range means advance."""
    span = range_of(movement.dosage)
    last, before = sessions[-1], sessions[-2] if len(sessions) > 1 else None
    if any(done.pain for done in last):
        return "pain", span.low
    if before and _missed(last) and _missed(before) and before[-1].target <= last[-1].target:
        return "misses", span.low
    if today is not None and today - last[-1].day >= AWAY_DAYS:
        return "away", span.low
    if before and all(_reached(movement, session, span.high) for session in (before, last)):
        return "top_twice", span.high + 1
    if before and last[-1].unit == "reps" and all(map(_two_over, (before, last))):
        return "two_for_two", asked + 2
    if _reached(movement, last, asked) and asked < span.high:
        least = int(min(done.amount for done in last))
        more = max(asked + STEP_UP[movement.dosage.kind], least)
        return "more", min(more, span.high)
    return "hold", min(max(asked, span.low), span.high)


def _missed(session: Session) -> bool:
    """Half or more of the sets fell short of their target."""
    return 2 * sum(done.amount < done.target for done in session) >= len(session)


def _reached(movement: Movement, session: Session, amount: int) -> bool:
    """Every set reached the amount, whole, with no step-off or pain, and not too hard."""
    if movement.sides is Sides.EACH and len({done.side for done in session} - {"none"}) == 1:
        return False
    return all(
        done.amount >= amount
        and done.whole
        and not done.came_off
        and not done.pain
        and (done.rpe is None or done.rpe <= TARGET_RPE)
        for done in session
    )


def _two_over(session: Session) -> bool:
    """Two or more over the goal in the last set, and no set under it."""
    last = session[-1]
    return (
        last.amount >= last.target + 2
        and not any(done.amount < done.target or done.pain for done in session)
        and (last.rpe is None or last.rpe <= TARGET_RPE)
    )


def _move(
    catalogue: Catalogue,
    movement: Movement,
    kind: Literal["advance", "step_back"],
    rule: str,
    stay: int,
    behind: tuple[SetDone, ...],
) -> Step:
    """To the linked movement at the bottom of its range, or stay where there is no link."""
    link = movement.links.progress if kind == "advance" else movement.links.regress
    if link is None:
        aim = target_for(movement, stay)
        staying: Kind = "hold" if kind == "advance" else "less"
        reason = _said(f"no_{kind}_{rule}", movement, aim)
        return Step(staying, rule, reason, movement.id, aim, behind)
    following = catalogue.movements[link]
    aim = target_for(following)
    reason = _said(f"{kind}_{rule}", movement, aim, {"next_movement": following.name})
    return Step(kind, rule, reason, link, aim, behind)


def _said(
    reason_id: str, movement: Movement, aim: Target, more: dict[str, str | int] | None = None
) -> Reason:
    values: dict[str, str | int] = {"movement": movement.name, "amount": amount_of(aim)}
    values["unit"] = _UNITS[movement.dosage.kind]
    return Reason(id=f"step_{reason_id}", values=values | (more or {}))


_UNITS = {
    "hold": "seconds",
    "work": "seconds",
    "reps": "repetitions",
    "reps_per_side": "turns a side",
    "distance": "metres",
}


@dataclass(frozen=True)
class Standing:
    """Where an athlete stands in a skill: the movement to train and its target."""

    movement_id: Id
    target: Target
    reason: Reason | None = None
    last_day: int | None = None


def standing(
    catalogue: Catalogue,
    ladder: Sequence[Movement],
    level: Level,
    sets: Iterable[SetDone],
    today: int | None = None,
) -> Standing:
    """Where the log has led, from the first step of `level`.

    `ladder` holds the skill's movements, easiest first; `sets` are those of the skill, oldest
    first. Training something easier for want of equipment does not take a place away; reaching
    the target of something harder gives it. The log leads one level above `level` at most: a
    coach has to raise the level for more.
    """
    reach = (min(level_index(level) + 1, len(LEVELS) - 1) + 1) * STEPS_PER_LEVEL - 1
    at = _entry(ladder, level)
    step: Step | None = None
    last_day: int | None = None
    past: dict[str, list[Session]] = {}
    for session in by_session(sets):
        last_day = session[0].day
        for movement_id, own in _by_movement(session).items():
            past.setdefault(movement_id, []).append(own)
            trained = catalogue.movements[movement_id]
            higher = rung(at) < rung(trained) <= reach
            if higher and _reached(trained, own, own[-1].target):
                at = trained
                past[at.id] = [own]
            if movement_id != at.id:
                continue
            step = _decide(catalogue, at, None, past[movement_id][-2:], None)
            following = catalogue.movements[step.movement_id]
            if following is not at and rung(following) <= reach:
                # A movement come to anew is judged by what follows, not by what once was.
                at = following
                past.pop(at.id, None)
    if step is None or step.movement_id != at.id:
        return Standing(at.id, target_for(at), None, last_day)
    if at.id in past:
        step = _decide(catalogue, at, None, past[at.id][-2:], today)
    return Standing(step.movement_id, step.target, step.reason, last_day)


def _entry(ladder: Sequence[Movement], level: Level) -> Movement:
    """The first step of the level, else the hardest below it, else the easiest there is."""
    first = LEVELS.index(level) * STEPS_PER_LEVEL
    within = [m for m in ladder if first <= rung(m) < first + STEPS_PER_LEVEL]
    below = [m for m in ladder if rung(m) < first]
    return within[0] if within else below[-1] if below else ladder[0]


def _by_movement(session: Session) -> dict[str, Session]:
    groups: dict[str, list[SetDone]] = {}
    for done in session:
        groups.setdefault(done.movement, []).append(done)
    return {movement: tuple(own) for movement, own in groups.items()}


def level_of(profile: Profile, skill: str) -> Level:
    """The level that the coach set for a skill; a beginner's where none is set."""
    return profile.levels.get(skill, Level.BEGINNER)
