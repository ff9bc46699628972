"""Every reason there is, and the values that its sentence is given: the contract with a language.

Values are spoken names of movements, equipment, stand-ins and skills; whole numbers; whole
sentences of the coach (`condition`, `easier_because`); and ids that a language has words for:
`part`, `hazard`, `side`, `unit` (`seconds`, `reps`, `reps_per_side`, `metres`, each with `_one`
for one of it), `fraction` and `most` (`catalogue.hand_load`).
"""

from __future__ import annotations

AGAINST: dict[str, str] = {
    "hurting": "part",
    "hazard": "hazard",
    "without": "equipment",
    "space": "metres",
}
"""What can stand against a movement today, and the value that tells more."""

_STEP = ("movement", "amount", "unit")
_MOVE = (*_STEP, "next_movement")

SLOTS: dict[str, tuple[str, ...]] = {
    **{f"not_{what}": ("movement", more) for what, more in AGAINST.items()},
    "as_planned": ("movement",),
    "stand_in_offered": ("movement", "equipment", "stand_in", "condition"),
    **{
        f"instead_{what}": ("movement", "instead_of", more) for what, more in AGAINST.items()
    },
    **{
        f"instead_{what}_easier": ("movement", "instead_of", more, "easier_because")
        for what, more in AGAINST.items()
    },
    "instead_asked": ("movement", "instead_of"),
    "instead_asked_easier": ("movement", "instead_of", "easier_because"),
    "easier": ("movement", "instead_of"),
    "easier_because": ("movement", "instead_of", "easier_because"),
    "harder": ("movement", "instead_of"),
    "nothing_easier": ("movement",),
    "nothing_harder": ("movement",),
    "nothing_harder_at_level": ("movement",),
    **{
        f"nothing_{way}_not_{what}": ("movement", more)
        for way in ("easier", "harder")
        for what, more in AGAINST.items()
    },
    **{
        f"step_{rule}": _STEP
        for rule in (
            "first", "away", "misses", "more", "two_for_two", "pain_end", "misses_end",
            "top_twice_end", "two_for_two_end", "hold_short", "hold_came_off", "hold_hard",
            "hold_one_side", "hold_again",
        )
    },
    **{
        f"step_{rule}": _MOVE
        for rule in ("pain_back", "misses_back", "top_twice_up", "two_for_two_up")
    },
    **{
        f"left_out_not_{what}": ("movement", "skill", more) for what, more in AGAINST.items()
    },
    "left_out_stand_in": ("movement", "equipment", "stand_in", "condition"),
    "left_out_fresh": ("skill",),
    "left_out_no_time": ("skill", "movement"),
    "left_out_sets": ("movement", "sets", "of"),
    "left_out_minutes": ("minutes", "spare"),
    "rehearses": ("movement", "next_movement"),
    "try_next": ("movement", "before"),
    "side_weaker": ("movement", "side", "percent"),
    "side_steps_off": ("movement", "side", "steps"),
    "day_pain_watched": ("part", "level"),
    "day_pain_spared": ("part", "level"),
    "day_pain_rest": ("part", "level"),
    "day_low": (),
    "day_low_twice": (),
    "load_none": (),
    "load_week": ("load",),
    "load_first": (),
    "load_alike": (),
    "load_more": ("percent",),
    "load_less": ("percent",),
    "load_unrated": ("sessions",),
    "hands_carry": ("movement", "fraction"),
    "hands_carry_range": ("movement", "fraction", "most"),
    "hands_carry_more": ("movement", "percent"),
    "praise_best": ("movement", "amount", "unit"),
    "praise_more": ("movement", "amount", "unit"),
    "praise_all": ("movement", "amount", "unit"),
    "praise_steadier": ("movement", "steps", "before"),
    "week_rest": (),
    "week_done": (),
}  # fmt: skip
