"""Remarks on a valid catalogue, and texts in which the coach would hear a command."""

from __future__ import annotations

import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.files import builtin_catalogue
from catalogue.check import Remark, check_catalogue, forbidden_phrases
from catalogue.model import Catalogue, Equipment, Movement, Phase, Skill
from catalogue.spoken import spoken_texts

CUES = [{"text": "Look ahead.", "focus": "outside"}, {"text": "Be tall.", "focus": "body"}]


def raw(level: str, step: int, **changes: Any) -> dict[str, Any]:
    name = f"{level}{step}"
    return {
        "id": name,
        "name": f"{level} {step}".replace("_", " "),
        "skill": "balance",
        "level": level,
        "step": step,
        "dosage": {"kind": "hold", "seconds": [30, 45]},
        "set_up": ["Stand."],
        "cues": CUES,
        **changes,
    }


def whole(**changes: Any) -> Catalogue:
    """A skill in full, of which beginner 1 is changed, and a warm-up and a cool-down."""
    levels = ("beginner", "intermediate", "advanced")
    raws = [raw(level, step) for level in levels for step in (1, 2, 3)]
    raws[0] = {**raws[0], **changes}
    for phase in ("warm_up", "cool_down"):
        raws.append({**raw(phase, 1), "phase": phase, "skill": None, "level": None, "step": None})
    made = [Movement.model_validate(one) for one in raws]
    return Catalogue(
        name="mini",
        equipment={"wall": Equipment(id="wall", name="wall")},
        skills={"balance": Skill(id="balance", name="balance")},
        movements={one.id: one for one in made},
    )


def remarks(catalogue: Catalogue) -> list[str]:
    found = [str(remark) for remark in check_catalogue(catalogue)]
    unused = "equipment `wall`: no movement uses it; use it, or take it out"
    return [one for one in found if one != unused]


def test_nothing_to_remark_on() -> None:
    assert remarks(whole()) == []


LONG_CUE = "Look at the far wall and at the floor and at the door too."
WALL = {"support": {"feet": 1.4, "wall": True}, "equipment": ["wall"]}

ONE_REMARK: dict[str, tuple[dict[str, Any], str]] = {
    "short hold": (
        {"dosage": {"kind": "hold", "seconds": [20, 40]}},
        "20 to 40 seconds is outside common practice; 30 to 45 is usual",
    ),
    "long work": (
        {"dosage": {"kind": "work", "seconds": [30, 60]}},
        "30 to 60 seconds is outside common practice; 30 to 45 is usual",
    ),
    "short combination": (
        {"dosage": {"kind": "work", "seconds": [30, 45]}, "combination": True},
        "30 to 45 seconds is outside common practice; 45 to 60 is usual for a combination",
    ),
    "many turns": (
        {"dosage": {"kind": "reps_per_side", "per_side": [5, 12]}, "sides": "each"},
        "5 to 12 turns a side is outside common practice; 5 to 6 is usual",
    ),
    "long cue": (
        {"cues": [{"text": LONG_CUE, "focus": "outside"}, CUES[1]]},
        f"a cue has 14 words: {LONG_CUE}; shorten it to 12 or fewer",
    ),
    "body cues only": (
        {"cues": [CUES[1], CUES[1]]},
        "all cues are about the body; "
        "add one about what the movement does outside it, and put it first",
    ),
    "body cue first": (
        {"cues": [CUES[1], CUES[0]]},
        "the first cue is about the body; put one about an effect outside it first",
    ),
    "long sentence": (
        {"safety": ["Word " * 25 + "word."]},
        f"a sentence in `safety` has 26 words: {'Word ' * 25}word.; make two of it",
    ),
    "no reason for the way down": (
        {"links": {"regress": "warm_up1"}},
        "it goes down without a reason",
    ),
    "a reason without a way down": (
        {"links": {"easier_because": "It is lower."}},
        "it says why, but goes down to nothing; add a regress, or take easier_because out",
    ),
    "a way down that leads up": (
        {"links": {"regress": "advanced1", "easier_because": "It is lower."}},
        "its regress `advanced1` is no lower in the skill; "
        "turn the link round, or mend level and step",
    ),
    "a link out of the session's part": (
        {"links": {"alternative": ["warm_up1"]}},
        "it links to `warm_up1`, which is in another part of the session; "
        "link to a movement with phase = 'main'",
    ),
    "a list with repeats": (
        {"loads": ["wrist", "hand", "wrist"]},
        "`loads` has wrist more than once; keep one",
    ),
    "no way down to the floor": (
        {"equipment": ["wall"]},
        "nothing below it needs no equipment and at most 2 metres of floor; "
        "let its regress lead down to a movement that does",
    ),
    "signs that are not spoken alike": (
        {"set_up": ["Lean at 45° & breathe."]},
        "`set_up` has signs that are not spoken alike everywhere: & °; write them as words",
    ),
}


@pytest.mark.parametrize("case", ONE_REMARK)
def test_one_remark(case: str) -> None:
    changes, sentence = ONE_REMARK[case]
    found = remarks(whole(**changes))
    assert found[0].startswith(f"movement `beginner1`: {sentence}")
    assert len(found) == (2 if case == "no reason for the way down" else 1)


@pytest.mark.parametrize(("reps", "told"), [([3, 5], 0), ([3, 8], 1)])
def test_repetitions_are_judged_only_up_a_wall(reps: list[int], told: int) -> None:
    dosage = {"kind": "reps", "reps": reps}
    found = [one for one in remarks(whole(dosage=dosage, **WALL)) if "common practice" in one]
    assert len(found) == told
    assert remarks(whole(dosage=dosage)) == []


def test_holes_in_a_skill_and_parts_that_are_missing() -> None:
    full = whole()
    left = {i: m for i, m in full.movements.items() if i not in ("beginner2", "advanced3")}
    assert remarks(full.model_copy(update={"movements": left})) == [
        "skill `balance`: it has no movement at beginner 2, advanced 3; add one each"
    ]
    none = {i: m for i, m in full.movements.items() if m.phase is Phase.WARM_UP}
    assert remarks(full.model_copy(update={"movements": none})) == [
        "skill `balance`: it has no movement; add some, or take it out",
        "catalogue: it has no movement with phase = 'main'; add one, so that sessions are whole",
        "catalogue: it has no movement with phase = 'cool_down'; "
        "add one, so that sessions are whole",
    ]


def test_equipment_that_nothing_uses() -> None:
    assert Remark("equipment", "wall", "no movement uses it", "use it, or take it out") in (
        check_catalogue(whole())
    )
    assert "no movement uses it" not in str(check_catalogue(whole(equipment=["wall"])))


def test_a_command_in_a_cue_is_found_as_whole_words() -> None:
    cues = [{"text": "Don't stop, go back!", "focus": "outside"}, CUES[1]]
    catalogue = whole(cues=cues, set_up=["Use the backstop, and startle nobody."])
    found = forbidden_phrases(catalogue, ["stop", "Go back", "start", "stop go", "don", "back"])
    assert [(r.id, r.what) for r in found] == [
        ("beginner1", "`cues` holds the command `stop`, in: Don't stop, go back!"),
        ("beginner1", "`cues` holds the command `stop go`, in: Don't stop, go back!"),
        ("beginner1", "`cues` holds the command `go back`, in: Don't stop, go back!"),
        ("beginner1", "`cues` holds the command `back`, in: Don't stop, go back!"),
    ]


def test_safety_notes_reasons_and_conditions_are_searched_too() -> None:
    catalogue = whole(safety=["Stop early."], links={"easier_because": "Stop that."})
    assert len(forbidden_phrases(catalogue, ["stop"])) == 2
    wall = Equipment.model_validate(
        {
            "id": "wall",
            "name": "wall",
            "stand_ins": [{"name": "tree", "condition": "Only with a stop sign."}],
            "never": ["stop light"],
            "never_because": "Stop it.",
        }
    )
    found = forbidden_phrases(catalogue.model_copy(update={"equipment": {"wall": wall}}), ["stop"])
    assert len(found) == 5


PHRASE_WORDS = ["the", "of", "pipe", "keep", "your", "floor", "as", "if", "it", "were", "a", "wall"]


@given(st.lists(st.sampled_from(PHRASE_WORDS), min_size=1, max_size=3))
def test_phrases_are_found_where_a_plain_search_finds_them(words: list[str]) -> None:
    """Against the standard library's regular expressions over the built-in catalogue."""
    phrase = " ".join(words)
    pattern = re.compile(r"(?<![\w'])" + r"[\W_]+".join(words) + r"(?![\w'])", re.IGNORECASE)
    catalogue = builtin_catalogue()
    expected = {(k, i, t) for k, i, _, t in spoken_texts(catalogue) if pattern.search(t)}
    found = {
        (r.kind, r.id, r.what.split(", in: ")[1]) for r in forbidden_phrases(catalogue, [phrase])
    }
    assert found == expected


def test_the_built_in_catalogue_leaves_nothing_to_remark_on() -> None:
    assert [str(remark) for remark in check_catalogue(builtin_catalogue())] == []
