"""Which share of the body's weight the hands carry in a support, from heights and segment data.

The model. The body is a standing body tipped forward about the ball of the foot (or the knee),
straight from there to the head. The arms lean half-way between upright and square to the trunk,
and the hands push along the line of the arms; with that, the moments about the foot give the
share. On the knees the lower legs rest on the floor and are left out. With bent arms the hands
stay where straight arms put them and the body turns until the shoulder is 0.20 m above them.

What is measured and what is chosen. The half-way lean was fitted to published measurements with
straight arms; the place of the ball of the foot, of the knee and the 0.20 m are our own choices.
Against published measurements of people at rest the model is off by 0.02 of the weight on
average and by 0.054 at most (`tests/catalogue/test_hand_load.py` has each). It knows nothing of
movement: a fast push or a crawl loads the hands more.

Where the model does not know, the share is a range: feet against a wall stay up by friction, from
all there is to none; feet raised over 0.61 m bend the body; hands at the height of the chest leave
one standing; and bent arms were measured on the floor only, so with hands or feet raised they add
from nothing to what they add there.

>>> hand_share(Support()).text()
'68 %'
>>> hand_share(Support(hands=0.6)).text()
'46 %'
>>> hand_share(Support(feet=0.6, wall=True)).text()
'71 to 100 %'
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import cos, hypot, pi, sin, sqrt

from catalogue.model import Movement, Support
from catalogue.reason import Reason
from catalogue.segments import (
    FOOT,
    FOREARM,
    HAND,
    LENGTHS,
    SHANK,
    THIGH,
    TRUNK_AND_HEAD,
    UPPER_ARM,
    Segment,
)

STATURE = 1.75
"""Metres, where the athlete's own is not known."""

LEAN = 0.5
"""Arms upright 0, square to the trunk 1: fitted to the measurements with straight arms."""

BALL_AHEAD = 0.075
"""The ball of the foot ahead of the line of the leg, fraction of stature (our choice)."""

KNEE_AHEAD = 0.035
"""The point that a knee rests on ahead of the line of the thigh (our choice)."""

BENT_SHOULDER = 0.20
"""Metres from the floor to the shoulder with bent arms (our choice)."""

STRAIGHT_UP_TO = 0.61
"""Metres of feet over hands up to which a straight body is a fair picture; measured up to here."""

LEANING_UP_TO = 0.45
KNEELING_UP_TO = 0.20
"""Hands over feet or knees, fractions of stature, up to which one leans and is not upright (our
choice)."""

WALL_FRICTION = 0.5
"""A rubber sole on a dry wall, used to the full (our choice)."""

FLAG_STEP = 10
"""Per cent of change on the hands from which a change of movement is worth a word. The published
advice is 2 to 10 per cent of load at a time (ACSM position stand 2009, Med Sci Sports Exerc 41(3):
687-708); applying it to the modelled share is our own adaptation."""

Point = tuple[float, float]


@dataclass(frozen=True)
class Share:
    """A share of the body's weight on both hands together, as a range; one value where exact."""

    low: float
    high: float

    @property
    def middle(self) -> float:
        return (self.low + self.high) / 2

    def text(self) -> str:
        low, high = round(self.low * 100), round(self.high * 100)
        return f"{low} %" if low == high else f"{low} to {high} %"


def hand_share(support: Support, stature: float = STATURE) -> Share:
    """The share on the hands at rest. `stature` in metres matters only where hands are raised."""
    if support.wall:
        return wall_share(support.feet - support.hands, stature)
    rise = support.feet - support.hands
    most = (KNEELING_UP_TO if support.knees else LEANING_UP_TO) * stature
    straight = support.model_copy(update={"bent": False})
    if rise > STRAIGHT_UP_TO:
        return Share(_level_share(straight, STRAIGHT_UP_TO, stature), 1.0)
    if rise < -most:
        return Share(0.0, _level_share(straight, -most, stature))
    share = _level_share(straight, rise, stature)
    if not support.bent:
        return Share(share, share)
    bent = _level_share(support, 0.0, stature)
    if rise == 0:
        return Share(bent, bent)
    return Share(share, share + bent - _level_share(straight, 0.0, stature))


def wall_share(rise: float, stature: float = STATURE, friction: float = WALL_FRICTION) -> Share:
    """Feet `rise` metres above the hands on a wall: all the friction there is, to none at all.

    The wall pushes the feet away with N and holds them up with friction x N at most. Moments about
    the hands: N / W = d / (h + friction x D), with d and D the level distances from the hands to
    the centre of mass and to the wall, h the height. Without friction the hands carry everything.
    """
    reach = (LENGTHS.shoulder + LENGTHS.arm) * stature
    height = min(max(rise, 0.0), reach)
    level = sqrt(1 - (height / reach) ** 2)
    wall = reach * level
    if friction == 0:
        return Share(1.0, 1.0)
    centre = (reach - standing_centre(arms_up=True) * stature) * level
    push = centre / (height + friction * wall)
    return Share(1.0 - friction * push, 1.0)


def lever(weight: float, centre: float, hands: float) -> float:
    """Load on the hands by the law of the lever, in the unit of `weight`.

    `centre` and `hands` are distances from the feet, along the ground or along a straight body:
    tilting a straight line does not change their ratio.

    >>> round(lever(81 * 9.8, 1.15, 1.70))
    537
    """
    return weight * centre / hands


def explain_share(share: Share, movement: str) -> Reason:
    """ "About two fifths of your weight": the share in the words that people use.

    `fraction` is a word of the language's data, `percent` the middle of the range.
    """
    values: dict[str, str | int] = {"movement": movement, "fraction": fraction_of(share.low)}
    if fraction_of(share.low) == fraction_of(share.high):
        return Reason(id="hands_carry", values=values)
    return Reason(id="hands_carry_range", values=values | {"most": fraction_of(share.high)})


def load_step(before: Support, after: Support, stature: float = STATURE) -> int:
    """By how many per cent the load on the hands changes from one support to another."""
    was, will = hand_share(before, stature).middle, hand_share(after, stature).middle
    return round((will - was) / was * 100)


def flag_step(before: Support, after: Support, movement: str) -> Reason | None:
    """A word on a rise in load that is more than one step at a time, or None."""
    percent = load_step(before, after)
    if percent <= FLAG_STEP:
        return None
    return Reason(id="hands_carry_more", values={"movement": movement, "percent": percent})


def by_load(movements: Iterable[Movement]) -> list[tuple[Movement, Share]]:
    """Movements whose support is known, lightest on the hands first; ties by id."""
    known = [(move, hand_share(move.support)) for move in movements if move.support is not None]
    return sorted(known, key=lambda item: (item[1].middle, item[0].id))


_FRACTIONS = {
    "a_tenth": 0.1, "a_fifth": 0.2, "a_quarter": 0.25, "a_third": 1 / 3, "two_fifths": 0.4,
    "half": 0.5, "three_fifths": 0.6, "two_thirds": 2 / 3, "three_quarters": 0.75,
    "four_fifths": 0.8, "nine_tenths": 0.9, "all": 1.0,
}  # fmt: skip


def fraction_of(share: float) -> str:
    """The nearest fraction that has a common name.

    >>> fraction_of(0.68), fraction_of(0.41)
    ('two_thirds', 'two_fifths')
    """
    return min(_FRACTIONS, key=lambda name: abs(_FRACTIONS[name] - share))


@dataclass(frozen=True)
class _Tipped:
    """A body tipped forward to `angle` (radians over the floor) about a pivot on it.

    Lengths are fractions of stature. `pivot` is the pivot's height in the standing body and
    `ahead` its distance in front of the line of the body.
    """

    pivot: float
    ahead: float
    angle: float

    def at(self, height: float) -> Point:
        """Where the point of that standing height is, seen from the pivot: ahead, up."""
        along = height - self.pivot
        return (
            along * cos(self.angle) - self.ahead * sin(self.angle),
            along * sin(self.angle) + self.ahead * cos(self.angle),
        )


def _level_share(support: Support, feet_over_hands: float, stature: float) -> float:
    """The share with feet (or knees) and hands on level things, so many metres apart."""
    rise = -feet_over_hands / stature
    pivot, ahead = (LENGTHS.knee, KNEE_AHEAD) if support.knees else (0.0, BALL_AHEAD)

    def reach(angle: float) -> float:
        body = _Tipped(pivot, ahead, angle)
        return body.at(LENGTHS.shoulder)[1] - LENGTHS.arm * cos(LEAN * angle) - rise

    angle = _rising_root(reach)
    body = _Tipped(pivot, ahead, angle)
    shoulder = body.at(LENGTHS.shoulder)
    hand = shoulder[0] + LENGTHS.arm * sin(LEAN * angle), rise
    if support.bent:
        drop = rise + BENT_SHOULDER / stature
        body = _Tipped(
            pivot,
            ahead,
            _rising_root(
                lambda turned: _Tipped(pivot, ahead, turned).at(LENGTHS.shoulder)[1] - drop
            ),
        )
    return _share_of(body, hand, knees=support.knees)


def _share_of(body: _Tipped, hand: Point, *, knees: bool) -> float:
    """Moments about the pivot, with the force on the hands along the line of the arms."""
    shoulder = body.at(LENGTHS.shoulder)
    arm = hand[0] - shoulder[0], hand[1] - shoulder[1]
    thigh = LENGTHS.hip - THIGH.centre * (LENGTHS.hip - LENGTHS.knee)
    trunk = LENGTHS.hip + TRUNK_AND_HEAD.centre * (LENGTHS.shoulder - LENGTHS.hip)
    moment = 2 * THIGH.mass * body.at(thigh)[0] + TRUNK_AND_HEAD.mass * body.at(trunk)[0]
    if not knees:
        shank = LENGTHS.knee - SHANK.centre * (LENGTHS.knee - LENGTHS.ankle)
        moment += 2 * SHANK.mass * body.at(shank)[0]
        moment += 2 * FOOT.mass * body.at(FOOT.centre * LENGTHS.ankle)[0]
    for segment, along in _along_the_arm():
        moment += 2 * segment.mass * (shoulder[0] + along / LENGTHS.arm * arm[0])
    length = hypot(*arm)
    lean = (arm[0] / length) / (arm[1] / length)
    return moment / (hand[0] - hand[1] * lean)


def standing_centre(*, arms_up: bool = False) -> float:
    """Height of the centre of mass of the standing body, as a fraction of stature."""
    legs = (
        FOOT.mass * FOOT.centre * LENGTHS.ankle
        + SHANK.mass * (LENGTHS.knee - SHANK.centre * (LENGTHS.knee - LENGTHS.ankle))
        + THIGH.mass * (LENGTHS.hip - THIGH.centre * (LENGTHS.hip - LENGTHS.knee))
    )
    trunk = LENGTHS.hip + TRUNK_AND_HEAD.centre * (LENGTHS.shoulder - LENGTHS.hip)
    way = 1 if arms_up else -1
    arms = sum(
        segment.mass * (LENGTHS.shoulder + way * along) for segment, along in _along_the_arm()
    )
    return 2 * legs + TRUNK_AND_HEAD.mass * trunk + 2 * arms


def _along_the_arm() -> tuple[tuple[Segment, float], ...]:
    """The arm's segments with the distance of each centre from the shoulder."""
    return (
        (UPPER_ARM, UPPER_ARM.centre * LENGTHS.upper_arm),
        (FOREARM, LENGTHS.upper_arm + FOREARM.centre * LENGTHS.forearm),
        (HAND, LENGTHS.arm),
    )


def _rising_root(function: Callable[[float], float]) -> float:
    """Where a rising function crosses zero between the feet high above and standing upright."""
    low, high = -1.0, pi / 2
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if function(middle) < 0 else (low, middle)
    return (low + high) / 2
