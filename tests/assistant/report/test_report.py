"""The report as a document: well-formed, closed to the outside, escaped, and true to the record.

Its form is checked by html5lib, an independent parser that follows the HTML standard.
"""

from __future__ import annotations

import re
from dataclasses import replace
from html.parser import HTMLParser

import html5lib

from assistant.files import builtin_catalogue
from assistant.report.past import Change, Past, Trouble
from assistant.report.report import report_page
from assistant.report.sheet import sheet_page
from catalogue.conditions import Conditions
from catalogue.history import History, SessionDone, SetDone
from catalogue.model import Catalogue, Profile
from catalogue.planning import plan_session
from catalogue.training_load import trend
from tests.assistant.report.season import profile

CATALOGUE = builtin_catalogue()
EVIL = "<script>a()</script><img src=x onerror='a()'>\"'&{{ 7 * 7 }}"


class Seen(HTMLParser):
    """Every tag with its attributes, and all text."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""
        self._style = False
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        self._style = tag == "style"

    def handle_endtag(self, tag: str) -> None:
        self._style = False

    def handle_data(self, data: str) -> None:
        # What stands in neighbouring elements is apart.
        self.text += "" if self._style else f" {data}"


def errors(page: str) -> list[object]:
    parser = html5lib.HTMLParser()
    parser.parse(page)
    return list(parser.errors)


def poisoned() -> tuple[Catalogue, Profile, Past]:
    """A catalogue and a record in which every text that can be chosen is hostile."""
    cut = EVIL[:60]
    assert cut == EVIL
    movements = {
        name: move.model_copy(update={"name": cut, "set_up": (EVIL,), "safety": (EVIL,)})
        for name, move in CATALOGUE.movements.items()
    }
    skills = {name: s.model_copy(update={"name": cut}) for name, s in CATALOGUE.skills.items()}
    catalogue = CATALOGUE.model_copy(update={"name": cut, "movements": movements, "skills": skills})
    sets = [
        SetDone(739_000 + n, n, move, side, target=30, amount=20, came_off=1, pain=True)
        for n in (1, 2)
        for move in ("stork_stand", "long_gone" + EVIL)
        for side in ("left", "right")
    ]
    sessions = tuple(SessionDone(n, 739_000 + n, 30, 6) for n in (1, 2))
    past = Past(
        History(tuple(sets), sessions),
        (Trouble(739_001, "pain", "during", (EVIL,), 3, EVIL),),
        (Change(739_001, EVIL, EVIL + "b", "lack"),),
    )
    return catalogue, profile(cut), past


def test_the_report_is_well_formed(report: str) -> None:
    assert errors(report) == []
    assert errors("<!doctype html><title>a</title><p><div></p>")  # the checker does find


def test_nothing_is_loaded(report: str) -> None:
    seen = Seen(report)
    tags = {tag for tag, _ in seen.tags}
    assert not tags & {"script", "link", "img", "iframe", "object", "embed", "base", "form"}
    for _, given in seen.tags:
        assert not set(given) & {"src", "srcset", "action", "xlink:href", "style"}
        assert (given.get("href") or "#").startswith("#")
        assert not any(name.startswith("on") for name in given)
    assert not re.search(r"url\(|@import|https?://", report)
    policy = [g["content"] for tag, g in seen.tags if "http-equiv" in g and tag == "meta"]
    assert policy == ["default-src 'none'; style-src 'unsafe-inline'"]


def test_what_comes_from_the_record_is_escaped() -> None:
    catalogue, who, past = poisoned()
    plan = plan_session(catalogue, who, Conditions.of(who), day=739_005)
    pages = (
        report_page(catalogue, who, past, 739_005, EVIL),
        sheet_page(catalogue, who, plan, 739_005, EVIL),
        report_page(catalogue, who, Past(History()), 739_005, EVIL),
    )
    for page in pages:
        seen = Seen(page)
        assert not {tag for tag, _ in seen.tags} & {"script", "img"}
        assert not any(name.startswith("on") for _, given in seen.tags for name in given)
        # Shown as it was written: neither taken for a tag nor for a template.
        assert EVIL in seen.text
        assert errors(page) == []


def test_ids_are_unique_and_names_lead_somewhere(report: str) -> None:
    seen = Seen(report)
    ids = [given["id"] for _, given in seen.tags if "id" in given]
    assert len(ids) == len(set(ids))
    for _, given in seen.tags:
        for label in (given.get("aria-labelledby") or "").split():
            assert label in ids
        if (given.get("href") or "").startswith("#"):
            assert str(given["href"])[1:] in ids


def test_figures_are_those_of_the_record(report: str, past: tuple[Profile, Past]) -> None:
    _, everything = past
    text = " ".join(Seen(report).text.split())
    history = everything.history
    today = history.sessions[-1].day + 1
    load = trend(history, today).week.load
    assert f"Sessions {len(history.sessions)} " in text
    assert f"Load in the last 7 days {load} " in text
    assert f"{load} points of load in the last 7 days" in text
    off = sum(done.came_off for done in history.sets if done.day > today - 7)
    assert f"Steps off in the last 7 days {off}" in text
    for id in {done.movement for done in history.sets}:
        movement = CATALOGUE.movements[id]
        assert (f"Figures for {movement.name}" in text) == (movement.skill is not None)
    assert "wrist" in text


def test_behind_every_chart_is_a_table(report: str) -> None:
    for figure in re.findall(r"<figure>.*?</figure>", report, re.S):
        if 'id="track-' in figure:
            marks = len(re.findall(r'class="(?:reached|short|off|pain)"', figure))
            body = figure.split("<tbody>")[1]
            assert marks == body.count("<tr>") > 0


def test_no_zones_and_no_claims(report: str) -> None:
    text = Seen(report).text.lower()
    assert "none of these figures can tell whether someone will get hurt" in text
    for word in ("danger zone", "sweet spot", "injury risk", "ratio"):
        assert not re.search(rf"\b{word}", text)


def test_whole_numbers_only(report: str) -> None:
    """An effort asked twice differs by 28 % (Wallace et al. 2014): no figure has a fraction."""
    cells = re.findall(r'<td class="number">(.*?)</td>', report, re.S)
    assert len(cells) > 100
    assert all(re.fullmatch(r"\d*(?: <small>\(\d+ without effort\)</small>)?", c) for c in cells)


def test_no_session_gives_a_sentence() -> None:
    page = report_page(CATALOGUE, profile(), Past(History()), 739_000, "0.1.0")
    assert "No session of Robin is on record yet." in Seen(page).text


def test_warm_up_alone_gives_a_report() -> None:
    sets = (SetDone(739_000, 1, "cat_curl", target=30, amount=30),)
    past = Past(History(sets, (SessionDone(1, 739_000, 5.0),)))
    text = Seen(report_page(CATALOGUE, profile(), past, 739_000, "0.1.0")).text
    assert "No main movement is on record yet." in text
    assert "1 session without an effort not counted." in text


def test_a_clock_that_ran_ahead_does_no_harm(past: tuple[Profile, Past]) -> None:
    who, everything = past
    first = everything.history.sessions[0].day
    assert "Written" in report_page(CATALOGUE, who, everything, first - 100, "0.1.0")
    assert replace(everything) == everything
