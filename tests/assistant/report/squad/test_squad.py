"""A squad's findings, reckoned again in plain Python, and folders that are not in order."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from assistant.errors import InputError
from assistant.files import builtin_catalogue
from assistant.record.export import export, to_json
from assistant.record.store import Store
from assistant.report.squad.findings import LATELY, TURNS, Findings, find
from assistant.report.squad.page import squad_page
from assistant.report.squad.reading import read_squad
from assistant.report.squad.text import squad_text
from assistant.report.words import lines_of
from catalogue.conditions import rung
from tests.assistant.report.season import profile, train
from tests.assistant.report.test_report import EVIL, Seen, errors

CATALOGUE = builtin_catalogue()
FIRST = datetime(2026, 1, 5, 18)
TODAY = date(2026, 12, 1)
LINES = lines_of("en")

Sets = list[dict[str, Any]]


def a_set(movement: str, target: int, amount: float | None = None, **given: Any) -> dict[str, Any]:
    done = target if amount is None else amount
    return {
        "set_id": 1, "movement": movement, "number": 1, "side": "none", "amount": done,
        "target": target, "unit": "seconds", "source": "timer", "came_off": 0, "whole": True,
        "effort": 6, "pain": False, "logged": done, **given,
    }  # fmt: skip


def a_session(
    number: int, sets: Sets, facts: list[dict[str, Any]] | None = None, **given: Any
) -> dict[str, Any]:
    return {
        "session": number, "started": (FIRST + timedelta(days=2 * number)).isoformat(),
        "athlete": "Ada", "language": "en", "catalogue": "c", "catalogue_digest": "0",
        "program": "0", "seed": 0, "seconds": 1800.0, "ended": "done", "effort": 6,
        "next_time": [], "sets": sets, "profile": {}, "plan": {}, "facts": facts or [], **given,
    }  # fmt: skip


Write = Callable[[str, list[dict[str, Any]]], Path]


@pytest.fixture
def write(tmp_path: Path) -> Write:
    def put(name: str, sessions: list[dict[str, Any]]) -> Path:
        file = tmp_path / name
        text = json.dumps({"format": "cuewalk-export", "version": 1, "sessions": sessions})
        file.write_text(text, encoding="utf-8")
        return file

    return put


def findings(folder: Path) -> Findings:
    read = read_squad(folder, CATALOGUE, TODAY, LATELY)
    assert read.left_out == ()
    return find(read)


def test_who_gets_no_further_is_stuck(write: Write, tmp_path: Path) -> None:
    falls = [a_session(1, [a_set("parked_pipe", 30)])]
    falls += [a_session(n, [a_set("parked_pipe", 30, 12, came_off=2)]) for n in range(2, 7)]
    write("ada.json", falls)
    rises = [a_session(n, [a_set("parked_pipe", 29 + n)], athlete="Bo") for n in range(1, 7)]
    write("bo.json", rises)
    found = findings(tmp_path)
    (one,) = found.stuck
    assert (one.athlete, one.movement, one.target) == ("Ada", "parked pipe", 30)
    assert one.turns == 5
    assert one.went == (("off", 5),)
    assert one.since == (FIRST + timedelta(days=2)).date()
    assert [(b.movement, b.athletes) for b in found.blocking] == [("parked pipe", ("Ada",))]


def test_up_and_down_without_getting_higher_is_stuck_all_the_same(
    write: Write, tmp_path: Path
) -> None:
    """Stepping back and coming up again: the greatest height counts, not the last."""
    way = [("parked_pipe", 45), ("fingertip_pipe", 30), ("parked_pipe", 30), ("parked_pipe", 40),
           ("fingertip_pipe", 30), ("parked_pipe", 30)]  # fmt: skip
    write("ada.json", [a_session(n, [a_set(*one)]) for n, one in enumerate(way, 1)])
    (one,) = findings(tmp_path).stuck
    assert (one.movement, one.turns) == ("fingertip ride", 4)
    assert dict(one.went) == {"easier": 3, "reached": 1}


def test_a_warm_up_for_something_harder_is_no_step_back(write: Write, tmp_path: Path) -> None:
    sessions = [
        a_session(n, [a_set("line_walk", 30), a_set("parked_pipe", 29 + n)]) for n in range(1, 8)
    ]
    write("ada.json", sessions)
    assert findings(tmp_path).stuck == ()


def test_the_top_of_a_skill_is_no_place_to_be_stuck(write: Write, tmp_path: Path) -> None:
    last = next(
        m for m in CATALOGUE.movements.values()
        if m.skill == "balance" and m.links.progress is None
    )  # fmt: skip
    write("ada.json", [a_session(n, [a_set(last.id, 600)]) for n in range(1, 8)])
    assert findings(tmp_path).stuck == ()


def test_who_was_away_is_not_stuck(write: Write, tmp_path: Path) -> None:
    write("ada.json", [a_session(n, [a_set("parked_pipe", 30)]) for n in range(1, 8)])
    later = a_session(1, [], athlete="Bo", started="2026-10-01T18:00:00")
    write("bo.json", [later])
    found = findings(tmp_path)
    assert found.stuck == ()
    assert [one.name for one in found.athletes] == ["Ada", "Bo"]
    assert [one.lately for one in found.athletes] == [0, 1]


def test_who_had_pain(write: Write, tmp_path: Path) -> None:
    def pain(part: str | None, level: int | None, movement: str | None) -> dict[str, Any]:
        return {"kind": "PainReported", "v": 1, "part": part, "level": level, "movement": movement}

    facts = [
        {"kind": "CheckedIn", "v": 1, "pain": 2, "parts": ["knee"], "energy_normal": True,
         "lacking": []},
        pain("wrist", 4, "long_plank"), pain("wrist", 6, "long_gone_move"), pain(None, None, None),
        {"kind": "UnwellReported", "v": 1, "movement": "parked_pipe"},
    ]  # fmt: skip
    write("ada.json", [a_session(1, [], facts, ended="pain")])
    found = findings(tmp_path)
    told = {one.part: (one.worst, one.times, one.movements) for one in found.pained}
    assert told == {
        "unwell": (None, 1, ("parked pipe",)),
        "wrist": (6, 2, ("long gone move", "long plank")),
        "knee": (2, 1, ()),
        "it": (None, 1, ()),
    }
    assert found.pained[0].part == "unwell"  # told first
    assert found.athletes[0].broken == 1


def test_the_same_athlete_twice_is_one(write: Write, tmp_path: Path) -> None:
    sessions = [a_session(n, [a_set("parked_pipe", 30)]) for n in (1, 2, 3)]
    write("january.json", sessions[:2])
    write("february.json", sessions)
    (one,) = findings(tmp_path).athletes
    assert (one.name, one.sessions) == ("Ada", 3)


def test_two_athletes_of_one_name_are_two(write: Write, tmp_path: Path) -> None:
    write("north.json", [a_session(1, [])])
    write("south.json", [a_session(1, [], started="2026-02-02T09:00:00")])
    assert {one.name for one in findings(tmp_path).athletes} == {"Ada (north)", "Ada (south)"}


def test_a_clock_that_ran_ahead_hides_nobody(write: Write, tmp_path: Path) -> None:
    write("ada.json", [a_session(1, [], started="2026-11-20T18:00:00")])
    write("bo.json", [a_session(1, [], athlete="Bo", started="2099-01-01T00:00:00")])
    assert {one.lately for one in findings(tmp_path).athletes} == {1}


def test_real_exports_reckoned_again(tmp_path: Path) -> None:
    """Two rehearsed seasons: heights, pain and counts as a plain loop over the exports has them."""
    folder = tmp_path / "exports"
    folder.mkdir()
    documents = []
    for name, ways in (("Kim", ("falls",)), ("Lou", ("steady", "gives-up"))):
        record = tmp_path / f"{name}.db"
        train(record, profile(name), 8, ways=ways)
        with Store.open(record, read_only=True) as store:
            text = to_json(export(store))
        (folder / f"{name}.json").write_text(text, encoding="utf-8")
        documents.append(json.loads(text))
    found = findings(folder)
    stuck: set[tuple[str, str, int]] = set()
    for document in documents:
        heights: dict[str, list[tuple[int, int]]] = {}
        for session in document["sessions"]:
            of_skill: dict[str, list[tuple[int, int]]] = {}
            for one in session["sets"]:
                movement = CATALOGUE.movements[one["movement"]]
                if movement.skill:
                    height = rung(movement), one["target"]
                    of_skill.setdefault(movement.skill, []).append(height)
            for skill, own in of_skill.items():
                heights.setdefault(skill, []).append(max(own))
        for skill, way in heights.items():
            turns = len(way) - 1 - way.index(max(way))
            if turns >= TURNS:
                stuck.add((document["sessions"][0]["athlete"], skill, turns))
    names = {skill.name: skill.id for skill in CATALOGUE.skills.values()}
    assert {(one.athlete, names[one.skill], one.turns) for one in found.stuck} == stuck
    for document in documents:
        name = document["sessions"][0]["athlete"]
        (own,) = [one for one in found.athletes if one.name == name]
        assert own.sessions == len(document["sessions"])
        assert own.came_off == sum(
            one["came_off"] for session in document["sessions"] for one in session["sets"]
        )
        said = [
            fact for session in document["sessions"] for fact in session["facts"]
            if fact["kind"] == "PainReported"
        ]  # fmt: skip
        assert sum(one.times for one in found.pained if one.athlete == name) == len(said)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('{"format": "cuewalk-ex', "not an export of cuewalk"),
        ("[1, 2]", "not an export of cuewalk"),
        ('{"format": "other", "version": 1, "sessions": []}', "not an export of cuewalk"),
        ('{"format": "cuewalk-export", "version": 2, "sessions": []}', "a later cuewalk"),
        ('{"format": "cuewalk-export", "version": 1, "sessions": {"a": 1}}', "not an export"),
        ('{"format": "cuewalk-export", "version": 1}', "no number, athlete or start"),
        ('{"format": "cuewalk-export", "version": 1, "sessions": [{"athlete": "x"}]}', "no number"),
        ("", "it is empty"),
    ],
)
def test_a_file_that_is_wrong_is_named_and_left_out(
    write: Write, tmp_path: Path, text: str, told: str
) -> None:
    write("ada.json", [a_session(1, [])])
    bad = tmp_path / "bad [1].json"
    bad.write_text(text, encoding="utf-8")
    read = read_squad(tmp_path, CATALOGUE, TODAY, LATELY)
    (sentence,) = read.left_out
    assert str(bad) in sentence
    assert told in sentence
    assert [one.name for one in find(read).athletes] == ["Ada"]


def test_nothing_to_read(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="holds no export"):
        read_squad(tmp_path, CATALOGUE, TODAY, LATELY)
    with pytest.raises(InputError, match="does not exist"):
        read_squad(tmp_path / "none", CATALOGUE, TODAY, LATELY)
    file = tmp_path / "a.json"
    file.write_text("{")
    with pytest.raises(InputError, match="is not a folder"):
        read_squad(file, CATALOGUE, TODAY, LATELY)
    with pytest.raises(InputError, match=r"a\.json: not an export"):
        read_squad(tmp_path, CATALOGUE, TODAY, LATELY)


def test_an_export_without_sessions_is_an_empty_squad(write: Write, tmp_path: Path) -> None:
    write("ada.json", [])
    found = findings(tmp_path)
    assert found.athletes == ()
    assert "0 athletes, 0 sessions" in squad_text(found, LINES)


def test_text_and_page_tell_the_same(write: Write, tmp_path: Path) -> None:
    sessions = [
        a_session(n, [a_set("parked_pipe", 30, 12)], athlete="Ada of the very long family name")
        for n in range(1, 8)
    ]
    write("ada.json", sessions)
    found = findings(tmp_path)
    text = squad_text(found, LINES)
    assert max(map(len, text.splitlines())) <= 80
    shown = " ".join(Seen(squad_page(found, LINES)).text.split())
    for words in ("parked", "too short"):
        assert words in text
        assert words in shown


def test_hostile_names_are_shown_as_they_are(write: Write, tmp_path: Path) -> None:
    sessions = [a_session(n, [a_set("parked_pipe", 30, 12)], athlete=EVIL) for n in range(1, 8)]
    write("ada.json", sessions)
    page = squad_page(findings(tmp_path), LINES)
    seen = Seen(page)
    assert EVIL in seen.text
    assert not {tag for tag, _ in seen.tags} & {"script", "img"}
    assert errors(page) == []
    write("ada.json", [a_session(1, [], athlete="a\x1b[31mb\nc")])
    assert "\x1b" not in squad_text(findings(tmp_path), LINES)
