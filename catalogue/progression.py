"""What comes next for a movement, decided from the log, with the sets behind the decision.

The rules in the order in which they are asked (their sources stand in `catalogue.step_rules`):

1. pain: step back after pain in the last session of the movement.
2. misses: after two missed sessions in a row at the same target (or an easier one before), go to
   the bottom of the range; from the bottom, step back to the easier movement. A session is missed
   where half of its sets or more fell short.
3. away: begin again at the bottom of the range after three weeks without the movement.
4. top_twice: advance when the top of the range was reached in all sets of the last two sessions,
   whole, with no step-off and effort at or under seven.
5. two_for_two (repetitions only): two or more over the goal in the last set of two sessions in a
   row, no set under it, effort at or under seven: two more, and past the top of the range that
   means to advance.
6. more: every set of the last session reached the target, as under 4: a little more.
7. otherwise hold, and say what for.

An effort that was not given stands in nobody's way. Where sides share one dosage, each has half.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from catalogue.dosing import amount_of, for_one_side, range_of, target_for
from catalogue.hand_load import flag_step
from catalogue.history import History, SetDone, by_session
from catalogue.model import Catalogue, Id, Movement, Sides
from catalogue.plan import Target
from catalogue.reason import Reason
from catalogue.step_rules import AWAY_DAYS, OVER_GOAL, STEP_UP, TARGET_RPE

Kind = Literal["advance", "hold", "more", "less", "step_back"]
Session = tuple[SetDone, ...]


@dataclass(frozen=True)
class Step:
    """The decision: what kind, why, and the movement and target that come next.

    `rule` is a key of `catalogue.step_rules.RULES`; `sets` are the logged sets that it rests on.
    `note` tells of a jump in the load on the hands where the next movement brings one.
    """

    kind: Kind
    rule: str
    reason: Reason
    movement_id: Id
    target: Target
    sets: tuple[SetDone, ...] = ()
    note: Reason | None = None


def decide_next(
    catalogue: Catalogue,
    movement_id: str,
    target: Target | None,
    history: History,
    today: int | None = None,
) -> Step:
    """The next step for a movement.

    `target` is what was asked for last; None takes it from the log. `today` (a date's ordinal)
    lets a long break be seen.
    """
    sessions = by_session(done for done in history.sets if done.movement == movement_id)
    return decide(catalogue, catalogue.movements[movement_id], target, sessions[-2:], today)


def why(catalogue: Catalogue, movement_id: str, history: History, today: int | None = None) -> Step:
    """The present decision on a movement; the sets behind it are in `sets`."""
    return decide_next(catalogue, movement_id, None, history, today)


def decide(
    catalogue: Catalogue,
    movement: Movement,
    target: Target | None,
    sessions: Sequence[Session],
    today: int | None = None,
) -> Step:
    """`decide_next` from the movement's last two sessions (or one, or none), oldest first."""
    if not sessions:
        first = target or target_for(movement)
        return Step("hold", "first", _said("first", movement, first), movement.id, first)
    span = range_of(movement.dosage)
    asked = amount_of(target) if target else asked_for(movement, sessions[-1][-1].target)
    rule, amount = _rule(movement, asked, sessions, today)
    behind = tuple(done for session in sessions for done in session)
    if rule == "pain" or (rule == "misses" and asked <= span.low):
        return _move(catalogue, movement, "step_back", rule, span.low, behind)
    if amount > span.high:
        return _move(catalogue, movement, "advance", rule, span.high, behind)
    kind: Kind = "more" if amount > asked else "less" if amount < asked else "hold"
    aim = target_for(movement, amount)
    return Step(kind, rule, _said(rule, movement, aim), movement.id, aim, behind)


def asked_for(movement: Movement, logged: int) -> int:
    """The target behind a logged one; where sides share it, the likeliest of those it halves."""
    if movement.sides is not Sides.SHARED:
        return logged
    span = range_of(movement.dosage)
    step = STEP_UP[movement.dosage.kind]
    whole = [
        amount
        for amount in range(2 * logged - 1, 2 * logged + 2)
        if amount >= 1 and for_one_side(movement, amount) == logged
    ] or [2 * logged]
    likely = [amount for amount in whole if amount == span.high or (amount - span.low) % step == 0]
    return (likely or whole)[0]


def reached(movement: Movement, session: Session, amount: int) -> bool:
    """Every set of the session did `amount`, whole, with no step-off, no pain, not too hard."""
    return _short_of(movement, session, amount) is None


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
        return "away", min(asked, span.low)
    if before and all(reached(movement, session, span.high) for session in (before, last)):
        return "top_twice", span.high + 1
    if before and last[-1].unit == "reps" and all(map(_over_goal, (before, last))):
        return "two_for_two", asked + OVER_GOAL
    short = _short_of(movement, last, asked)
    stay = min(max(asked, span.low), span.high)
    if short is not None:
        return short, stay
    if asked >= span.high:
        return "hold_again", stay
    least = min(done.amount for done in last) * (2 if movement.sides is Sides.SHARED else 1)
    return "more", min(max(asked + STEP_UP[movement.dosage.kind], int(least)), span.high)


def _missed(session: Session) -> bool:
    """Half or more of the sets fell short of their target."""
    return 2 * sum(done.amount < done.target for done in session) >= len(session)


def _short_of(movement: Movement, session: Session, amount: int) -> str | None:
    """What kept a session from reaching `amount` in all sets, or None."""
    asked = for_one_side(movement, amount)
    if any(done.amount < asked or not done.whole for done in session):
        return "hold_short"
    if any(done.came_off for done in session):
        return "hold_came_off"
    if any(done.rpe is not None and done.rpe > TARGET_RPE for done in session):
        return "hold_hard"
    one_sided = len({done.side for done in session} - {"none"}) == 1
    if one_sided and movement.sides is not Sides.NONE:
        return "hold_one_side"
    return "hold_short" if any(done.pain for done in session) else None


def _over_goal(session: Session) -> bool:
    """Two or more over the goal in the last set, no set under it, and not too hard."""
    last = session[-1]
    return last.amount >= last.target + OVER_GOAL and not any(
        done.amount < done.target or done.pain or (done.rpe is not None and done.rpe > TARGET_RPE)
        for done in session
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
        return Step(staying, rule, _said(f"{rule}_end", movement, aim), movement.id, aim, behind)
    following = catalogue.movements[link]
    aim = target_for(following)
    reason_id = f"{rule}_{'up' if kind == 'advance' else 'back'}"
    reason = _said(reason_id, movement, aim, {"next_movement": following.name}, following)
    note = None
    if movement.support and following.support:
        note = flag_step(movement.support, following.support, following.name)
    return Step(kind, rule, reason, link, aim, behind, note)


def _said(
    reason_id: str,
    movement: Movement,
    aim: Target,
    more: dict[str, str | int] | None = None,
    dosed: Movement | None = None,
) -> Reason:
    amount = amount_of(aim)
    unit = _UNITS[(dosed or movement).dosage.kind] + ("_one" if amount == 1 else "")
    values: dict[str, str | int] = {"movement": movement.name, "amount": amount, "unit": unit}
    return Reason(id=f"step_{reason_id}", values=values | (more or {}))


_UNITS = {
    "hold": "seconds",
    "work": "seconds",
    "reps": "reps",
    "reps_per_side": "reps_per_side",
    "distance": "metres",
}
"""Ids of units, with `_one` where there is one of it: words of the language's data."""
