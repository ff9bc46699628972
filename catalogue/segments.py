"""Body segment data, as fractions of body mass, of segment length and of stature.

Masses and centres: Dempster's figures as given by Winter, Biomechanics and Motor Control of Human
Movement. Lengths: Drillis and Contini 1966 as given by Winter 2009, figure 4.1. Both were read in
public files that cite them.
"""

from __future__ import annotations

from typing import NamedTuple


class Segment(NamedTuple):
    """`mass` of one such segment (one side) and its centre from the proximal end."""

    mass: float
    centre: float


HAND = Segment(0.006, 0.506)
FOREARM = Segment(0.016, 0.430)
UPPER_ARM = Segment(0.028, 0.436)
FOOT = Segment(0.0145, 0.500)
SHANK = Segment(0.0465, 0.433)
THIGH = Segment(0.100, 0.433)
TRUNK_AND_HEAD = Segment(0.578, 0.66)
"""Trunk with head and neck; its centre from the hip towards the shoulder."""

LIMBS = (HAND, FOREARM, UPPER_ARM, FOOT, SHANK, THIGH)


class Lengths(NamedTuple):
    """Heights of landmarks and lengths of limbs, as fractions of stature."""

    ankle: float = 0.039
    knee: float = 0.285
    hip: float = 0.530
    shoulder: float = 0.818
    upper_arm: float = 0.186
    forearm: float = 0.146

    @property
    def arm(self) -> float:
        return self.upper_arm + self.forearm


LENGTHS = Lengths()
