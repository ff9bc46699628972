"""The built-in catalogue itself: whole, safe, speakable, and within common practice."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from functools import cache
from itertools import combinations, pairwise
from pathlib import Path

import pocketsphinx
import pytest
from rapidfuzz.distance import Levenshtein

from assistant.files import builtin_catalogue, builtin_sources
from catalogue.check import forbidden_phrases, usual_amounts
from catalogue.entries import places
from catalogue.links import way_down
from catalogue.model import Hazard, Level, Movement, Phase, Sides
from catalogue.spoken import spoken_texts, words_of

CATALOGUE = builtin_catalogue()
MOVEMENTS = list(CATALOGUE.movements.values())
MAIN = [m for m in MOVEMENTS if m.phase is Phase.MAIN]


def ids(movements: list[Movement]) -> list[str]:
    return [m.id for m in movements]


def test_six_skills_of_three_levels_of_three_steps() -> None:
    assert len(CATALOGUE.skills) == 6
    cells = Counter((m.skill, m.level, m.step) for m in MAIN)
    assert set(cells) == {(s, lv, n) for s in CATALOGUE.skills for lv in Level for n in (1, 2, 3)}
    assert set(cells.values()) == {1}


def test_warm_up_and_cool_down() -> None:
    counts = Counter(m.phase for m in MOVEMENTS)
    assert counts[Phase.WARM_UP] == 12
    assert counts[Phase.COOL_DOWN] == 8


def test_warm_up_and_cool_down_need_nothing_but_the_floor() -> None:
    for movement in MOVEMENTS:
        if movement.phase is not Phase.MAIN:
            assert movement.equipment == ()
            assert movement.space <= 2.0


@pytest.mark.parametrize("skill", sorted(CATALOGUE.skills))
def test_every_skill_is_one_ladder(skill: str) -> None:
    """From any movement the way down passes every rung below it."""
    rungs = sorted(
        (m for m in MAIN if m.skill == skill),
        key=lambda m: (list(Level).index(m.level or Level.BEGINNER), m.step or 0),
    )
    top = [m.id for m in way_down(CATALOGUE, rungs[-1].id)]
    assert top == [m.id for m in reversed(rungs)]
    for lower, upper in pairwise(rungs):
        assert lower.links.progress == upper.id


@pytest.mark.parametrize("movement", MAIN, ids=ids(MAIN))
def test_every_way_down_ends_on_the_bare_floor(movement: Movement) -> None:
    last = way_down(CATALOGUE, movement.id)[-1]
    assert last.equipment == ()
    assert last.space <= 2.0


# Why one movement is easier than another: what the words of a reason must be about.
EASE = {
    "base of support": "base|support|both feet|feet never cross|planted|balance|single spot",
    "height": "height|low|upside down|floor|flat",
    "speed": "speed|still|throw|sideways|beat|seconds",
    "range": "range|lever|short",
    "load on the hands": "hands|grip|arms|carry|fingers",
    "sight": "sight|eyes|ear|face the same way",
}


@pytest.mark.parametrize("movement", [m for m in MAIN if m.links.regress], ids=lambda m: m.id)
def test_every_way_down_says_why_it_is_easier(movement: Movement) -> None:
    because = (movement.links.easier_because or "").lower()
    assert any(re.search(rf"\b({words})", because) for words in EASE.values()), because


@pytest.mark.parametrize("movement", MOVEMENTS, ids=ids(MOVEMENTS))
def test_dosages_are_common_practice(movement: Movement) -> None:
    """Common practice, no published source: 30 to 45 s of holding or continuous movement, 45 to
    60 s for combinations, 5 to 6 turns a side, 3 to 5 repetitions up a wall."""
    dosage = movement.dosage
    match dosage.kind:
        case "hold" | "work":
            low, high = (45, 60) if movement.combination else (30, 45)
            assert low <= dosage.seconds.low <= dosage.seconds.high <= high
        case "reps_per_side":
            assert (dosage.per_side.low, dosage.per_side.high) == (5, 6)
            assert movement.sides is Sides.EACH
        case "reps":
            assert (dosage.reps.low, dosage.reps.high) == (3, 5)
            assert movement.support is not None
            assert movement.support.wall
        case other:
            pytest.fail(f"{other} has no check value")
    assert usual_amounts(movement) is not None


def test_sideways_work_is_shared_between_the_sides() -> None:
    """Common practice, no published source."""
    sideways = [m for m in MAIN if any("sideways" in line.lower() for line in m.set_up)]
    there_and_home = {"river_hop", "dodge_drill"}  # both ways in one repetition
    assert {"sideways_crawl", "wall_traverse", "braided_steps", "barrel_roll"} <= {
        m.id for m in sideways
    }
    for movement in sideways:
        assert movement.sides is Sides.SHARED or movement.id in there_and_home, movement.id


@pytest.mark.parametrize(
    "movement", [m for m in MOVEMENTS if m.sides is Sides.SHARED], ids=lambda m: m.id
)
def test_shared_sides_are_told_in_the_set_up(movement: Movement) -> None:
    assert "half-way" in " ".join(movement.set_up)


def safety(movement: Movement) -> str:
    return " ".join(movement.safety).lower()


def test_hazards_are_named_where_they_are() -> None:
    for movement in MAIN:
        told = " ".join((*movement.set_up, *movement.safety)).lower()
        if "pipe" in movement.equipment:
            assert Hazard.ROLLING in movement.hazards, movement.id
        if "bar" in movement.equipment:
            assert Hazard.HANGING in movement.hazards, movement.id
        if "box" in movement.equipment:
            assert Hazard.RAISED in movement.hazards, movement.id
        if "upside down" in told:
            assert Hazard.INVERTED in movement.hazards, movement.id
        if re.search(r"\b(jump|hop|leap|land)\b", told) and "jump down" not in told:
            assert Hazard.LANDING in movement.hazards, movement.id
        if movement.support and movement.support.feet > 0:
            assert Hazard.RAISED in movement.hazards, movement.id


@pytest.mark.parametrize("movement", MAIN, ids=ids(MAIN))
def test_main_movements_have_a_safety_note_and_loads(movement: Movement) -> None:
    assert movement.safety
    assert movement.loads


CAUTIONS = {
    Hazard.INVERTED: r"spotter",
    Hazard.HANGING: r"test (the )?bar",
    Hazard.ROLLING: r"rigid",
    Hazard.LANDING: r"grip|slide|clear",
    Hazard.RAISED: r"test|rigid|spotter|someone stand|bare",
}


@pytest.mark.parametrize("movement", [m for m in MOVEMENTS if m.hazards], ids=lambda m: m.id)
def test_every_hazard_has_its_caution(movement: Movement) -> None:
    for hazard in movement.hazards:
        assert re.search(CAUTIONS[hazard], safety(movement)), (hazard, movement.safety)


def test_feet_on_the_wall_ask_for_company_or_a_clear_place_to_fall() -> None:
    walls = [m for m in MAIN if m.support and m.support.wall]
    assert {"wall_plank", "wall_walk", "spider_march", "climbing_circuit"} == {m.id for m in walls}
    for movement in walls:
        assert re.search(r"spotter|someone stand beside", safety(movement))
        assert "clear" in safety(movement)


def test_upside_down_defers_to_the_doctor() -> None:
    inverted = [m for m in MAIN if Hazard.INVERTED in m.hazards]
    assert {m.id for m in inverted} == {"wall_walk", "shoulder_roll"}
    assert all("doctor" in safety(movement) for movement in inverted)


def test_hands_and_feet_of_a_support_stand_as_high_as_its_equipment() -> None:
    for movement in MOVEMENTS:
        support = movement.support
        if support and (support.hands or (support.feet and not support.wall)):
            assert "box" in movement.equipment, movement.id
        if support and support.wall:
            assert "wall" in movement.equipment, movement.id


@pytest.mark.parametrize("item", sorted(CATALOGUE.equipment))
def test_every_piece_of_equipment_has_stand_ins_with_conditions_and_bans(item: str) -> None:
    equipment = CATALOGUE.equipment[item]
    assert len(equipment.stand_ins) >= 2
    assert all(s.condition.startswith("Only if ") for s in equipment.stand_ins)
    assert equipment.never
    assert equipment.never_because


def test_a_door_or_a_shower_rail_is_never_a_bar() -> None:
    assert {"door", "shower rail"} <= set(CATALOGUE.equipment["bar"].never)
    assert "door" in CATALOGUE.equipment["wall"].never


def test_the_effect_outside_comes_first_and_cues_are_short() -> None:
    for movement in MOVEMENTS:
        assert movement.cues[0].focus == "outside", movement.id
        assert len(movement.cues) >= 3, movement.id  # two a hearing, and more in reserve
        assert all(len(words_of(cue.text)) <= 12 for cue in movement.cues), movement.id


# ---- what is heard: an outside check against the CMU pronouncing dictionary, as shipped in the
# ---- pocketsphinx wheel, which the embedded recogniser hears with


@cache
def pronunciations() -> dict[str, tuple[tuple[str, ...], ...]]:
    path = Path(pocketsphinx.get_model_path()) / "en-us" / "cmudict-en-us.dict"
    found: dict[str, list[tuple[str, ...]]] = defaultdict(list)
    for row in path.read_text(encoding="utf-8").splitlines():
        word, *phones = row.split()
        found[re.sub(r"\(\d+\)$", "", word)].append(tuple(phones))
    return {word: tuple(ways) for word, ways in found.items()}


def sound(name: str) -> tuple[str, ...]:
    return tuple(phone for word in words_of(name) for phone in pronunciations()[word][0])


HEARD = {
    **{n: f"movement {m.id}" for m in MOVEMENTS for n in (m.name, *m.also)},
    **{n: f"equipment {e.id}" for e in CATALOGUE.equipment.values() for n in (e.name, *e.also)},
    **{n: f"skill {s.id}" for s in CATALOGUE.skills.values() for n in (s.name, *s.also)},
}
STAND_INS = {s.name for e in CATALOGUE.equipment.values() for s in e.stand_ins}
NEVER = {word for e in CATALOGUE.equipment.values() for word in e.never}


def test_the_dictionary_is_the_whole_one() -> None:
    assert len(pronunciations()) > 100_000


@pytest.mark.parametrize("name", sorted({*HEARD, *STAND_INS, *NEVER}))
def test_every_spoken_name_is_made_of_words_in_the_cmu_dictionary(name: str) -> None:
    assert [word for word in words_of(name) if word not in pronunciations()] == []


# One-word commands, from memory of how people drive a timer; the phrases that the program acts
# on are checked against the catalogue by its own command.
COMMANDS = [
    "next",
    "back",
    "repeat",
    "pause",
    "resume",
    "start",
    "stop",
    "done",
    "finish",
    "easier",
    "harder",
    "swap",
    "skip",
    "yes",
    "no",
    "louder",
    "quieter",
    "slower",
    "faster",
    "help",
    "undo",
    "log",
    "effort",
    "begin",
    "ready",
    "go",
    "again",
    "wait",
    "hold",
    "continue",
    "change",
    "switch",
    "hurts",
    "hurt",
    "pain",
    "ache",
    "dizzy",
    "faint",
    "sick",
    "fell",
    "quit",
    "cue",
    "safety",
    "rest",
    "easy",
    "hard",
    "now",
    "okay",
    "time",
    "end",
]


def far_apart(one: str, other: str) -> float:
    """0 for the same sounds, 1 for none shared: phonemes to change over the longer name."""
    return Levenshtein.normalized_distance(sound(one), sound(other))


def test_no_two_names_sound_nearly_alike() -> None:
    """More than 3 in 10 phonemes differ; only names of one and the same thing may be alike."""
    near = [
        (one, other)
        for one, other in combinations(sorted(HEARD), 2)
        if HEARD[one] != HEARD[other] and far_apart(one, other) <= 0.3
    ]
    assert near == []


def test_no_name_sounds_like_a_command() -> None:
    near = [
        (name, command)
        for name in {*HEARD, *STAND_INS}
        for command in COMMANDS
        if far_apart(name, command) <= 0.4
    ]
    assert near == []


def test_no_name_contains_a_command() -> None:
    words = {word for name in (*HEARD, *STAND_INS) for word in words_of(name)}
    assert words & set(COMMANDS) == set()


def test_the_coach_says_no_command_word() -> None:
    """The coach would hear itself; what is said must hold none of the one-word commands."""
    assert [str(r) for r in forbidden_phrases(CATALOGUE, COMMANDS)] == []


def test_every_text_can_be_spoken_by_a_simple_voice() -> None:
    for _, owner, field, text in spoken_texts(CATALOGUE):
        assert re.fullmatch(r"[A-Za-z ,.:'-]+", text), (owner, field, text)
        assert not re.search(r"\b(e\.g|i\.e|etc|approx|min|sec|cm|kg)\b", text), (owner, text)


def test_texts_are_whole_sentences() -> None:
    for kind, owner, field, text in spoken_texts(CATALOGUE):
        if field not in ("name", "never") and text not in STAND_INS:
            assert text[0].isupper(), (kind, owner, text)
            assert text.endswith("."), (kind, owner, text)


def test_places_lead_to_every_movement() -> None:
    sources = builtin_sources()
    found = places(sources)
    for movement in MOVEMENTS:
        file, line = found["movement", movement.id]
        rows = sources[file].split("\n")
        assert rows[line - 1] == "[[movement]]"
        assert rows[line] == f'id = "{movement.id}"'
