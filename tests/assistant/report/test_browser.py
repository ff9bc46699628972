"""The pages in a real browser: they open offline, ask for nothing, and can be read by everyone.

Accessibility is judged by axe-core (an independent checker of WCAG 2 rules) and by the browser's
own accessibility tree.
"""

from __future__ import annotations

import io
import json
import unicodedata
from datetime import date
from pathlib import Path
from typing import Any

import axe_core_python
import pytest
from pypdf import PdfReader

from assistant.files import builtin_catalogue
from assistant.report.palette import DARK, LIGHT, contrast
from assistant.report.past import Past
from assistant.report.report import report_page
from assistant.report.sheet import sheet_page
from assistant.report.squad.findings import Athlete, Blocking, Findings, Pained, Stuck
from assistant.report.squad.page import squad_page
from assistant.report.words import lines_of
from catalogue.conditions import Conditions
from catalogue.history import History
from catalogue.model import Level
from catalogue.planning import plan_session
from tests.assistant.report.browser import Browser
from tests.assistant.report.season import profile

AXE = Path(axe_core_python.__file__).with_name("axe.min.js")


def violations(browser: Browser) -> list[str]:
    """What axe-core finds wrong, in short, by the rules of WCAG 2.0 to 2.2, A and AA."""
    browser.call("Runtime.evaluate", expression=AXE.read_text("utf-8"))
    tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
    options = {"runOnly": {"type": "tag", "values": tags}, "resultTypes": ["violations"]}
    found: dict[str, Any] = browser.value(f"axe.run(document, {json.dumps(options)})")
    assert len(found["passes"]) > 10  # the checker did look
    return [
        f"{one['id']}: {node['html'][:120]} {node['failureSummary']}"
        for one in found["violations"]
        for node in one["nodes"]
    ]


def printed(pdf: bytes) -> tuple[int, str]:
    """How many pages, and their words, with joined letters (ligatures) taken apart."""
    pages = PdfReader(io.BytesIO(pdf)).pages
    text = " ".join(page.extract_text() for page in pages)
    return len(pages), " ".join(unicodedata.normalize("NFKC", text).split())


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_report_asks_for_nothing_and_nobody_is_shut_out(
    browser: Browser, report_file: Path, scheme: str
) -> None:
    browser.open(report_file, scheme=scheme)
    assert browser.requests() == [report_file.absolute().as_uri()]
    assert browser.complaints() == []
    assert browser.value("document.scripts.length") == 0
    assert browser.value("performance.getEntriesByType('resource').length") == 0
    assert browser.picture()[:8] == b"\x89PNG\r\n\x1a\n"
    # What is folded away is checked as well.
    browser.value("document.querySelectorAll('details').forEach(one => { one.open = true })")
    assert violations(browser) == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_contrast_is_reckoned_as_an_independent_checker_does(
    browser: Browser, report_file: Path, scheme: str
) -> None:
    browser.open(report_file, scheme=scheme)
    browser.call("Runtime.evaluate", expression=AXE.read_text("utf-8"))
    found = browser.value("axe.run(document, {runOnly: ['color-contrast']})")
    pairs = {
        (data["fgColor"], data["bgColor"], data["contrastRatio"])
        for rule in found["passes"]
        for node in rule["nodes"]
        for data in (check["data"] for check in node["any"])
        if data and data.get("contrastRatio")
    }
    assert len(pairs) >= 5
    for ink, ground, ratio in pairs:
        assert contrast(ink, ground) == pytest.approx(ratio, abs=0.011)


def test_a_request_would_be_seen_and_is_refused(browser: Browser, tmp_path: Path) -> None:
    """The check above can fail: an image from outside is seen, and our policy stops it."""
    bare = tmp_path / "bare.html"
    bare.write_text("<!doctype html><title>a</title><img src='http://example.invalid/a.png'>")
    browser.open(bare)
    assert "http://example.invalid/a.png" in browser.requests()
    page = tmp_path / "page.html"
    page.write_text(
        "<!doctype html><meta http-equiv='Content-Security-Policy' content=\"default-src 'none'; "
        "style-src 'unsafe-inline'\"><title>a</title><img src='http://example.invalid/a.png'>"
        "<script>document.title = 'ran'</script>"
    )
    browser.open(page)
    assert browser.complaints()
    assert browser.value("document.title") == "a"


def test_colours_follow_the_room(browser: Browser, report_file: Path) -> None:
    for scheme, palette in (("light", LIGHT), ("dark", DARK)):
        browser.open(report_file, scheme=scheme)
        paper = browser.value("getComputedStyle(document.documentElement).backgroundColor")
        parts = [int(palette["paper"][at : at + 2], 16) for at in (1, 3, 5)]
        assert paper == f"rgb({parts[0]}, {parts[1]}, {parts[2]})"
    browser.call("Emulation.setEmulatedMedia", media="print")
    paper = browser.value("getComputedStyle(document.documentElement).backgroundColor")
    browser.call("Emulation.setEmulatedMedia", media="")
    assert paper == "rgb(255, 255, 255)"


def test_every_chart_has_a_name_and_a_description(browser: Browser, report_file: Path) -> None:
    browser.open(report_file)
    browser.value("document.querySelectorAll('details').forEach(one => { one.open = true })")
    drawn = browser.value("document.querySelectorAll('svg.chart').length")
    charts = [node for node in browser.tree() if node["role"] in ("image", "img")]
    assert len(charts) == drawn > 10
    assert all(len(node["name"]) > 10 for node in charts)
    assert len({node["name"] for node in charts}) == len(charts)
    marks = browser.value(
        "[...document.querySelectorAll('svg.chart')].every("
        "one => one.getAttribute('role') === 'img' && one.querySelector('desc').textContent)"
    )
    assert marks is True


def test_marks_lie_inside_their_charts(browser: Browser, report_file: Path) -> None:
    browser.open(report_file)
    browser.value("document.querySelectorAll('details').forEach(one => { one.open = true })")
    stray = browser.value(
        """[...document.querySelectorAll('svg.chart')].flatMap(svg => {
            const box = svg.getBoundingClientRect();
            return [...svg.querySelectorAll('circle, rect, path, text')].filter(one => {
                const own = one.getBoundingClientRect();
                return own.left < box.left - 3 || own.right > box.right + 14
                    || own.top < box.top - 3 || own.bottom > box.bottom + 3;
            }).map(one => svg.querySelector('title').textContent + ' ' + one.outerHTML);
        })"""
    )
    assert stray == []


def test_words_on_an_axis_do_not_run_into_each_other(browser: Browser, report_file: Path) -> None:
    browser.open(report_file)
    browser.value("document.querySelectorAll('details').forEach(one => { one.open = true })")
    touching = browser.value(
        """[...document.querySelectorAll('svg.chart')].flatMap(svg => {
            const words = [...svg.querySelectorAll('text.column')]
                .map(one => one.getBoundingClientRect()).sort((a, b) => a.left - b.left);
            return words.slice(1).filter((one, at) => one.left < words[at].right)
                .map(() => svg.querySelector('title').textContent);
        })"""
    )
    assert touching == []


@pytest.mark.parametrize("width", [320, 375, 1200])
def test_it_fits_a_phone_and_a_desk(browser: Browser, report_file: Path, width: int) -> None:
    """No sideways scrolling down to 320 px: WCAG 2.1, 1.4.10 Reflow."""
    browser.open(report_file, width=width)
    assert browser.value("document.documentElement.scrollWidth") <= width


def test_it_prints(browser: Browser, report_file: Path) -> None:
    browser.open(report_file, scheme="dark")
    pages, text = printed(browser.pdf())
    assert 2 <= pages <= 20
    for word in ("Levels", "What comes next", "Left and right", "Load and effort"):
        assert word in text


@pytest.mark.parametrize("level", list(Level))
@pytest.mark.parametrize("minutes", [5, 15, 30, 45, 60, 90, 120])
def test_a_sheet_prints_on_one_page(
    browser: Browser, tmp_path: Path, minutes: int, level: Level
) -> None:
    catalogue, who = builtin_catalogue(), profile(level=level, minutes=minutes)
    day = date(2026, 3, 2).toordinal()
    plan = plan_session(catalogue, who, Conditions.of(who), day=day)
    file = tmp_path / "sheet.html"
    file.write_text(sheet_page(catalogue, who, plan, day, "0.1.0"), encoding="utf-8")
    browser.open(file)
    assert browser.requests() == [file.absolute().as_uri()]
    for letter in (False, True):
        pages, text = printed(browser.pdf(letter=letter))
        assert pages == 1, (minutes, level, letter)
        for block in plan.blocks:
            assert catalogue.movements[block.movement].name in text


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_sheet_shuts_nobody_out(browser: Browser, tmp_path: Path, scheme: str) -> None:
    catalogue, who = builtin_catalogue(), profile()
    plan = plan_session(catalogue, who, Conditions.of(who), day=739_000)
    file = tmp_path / "sheet.html"
    file.write_text(sheet_page(catalogue, who, plan, 739_000, "0.1.0"), encoding="utf-8")
    browser.open(file, scheme=scheme)
    assert violations(browser) == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_squad_and_an_empty_report_shut_nobody_out(
    browser: Browser, tmp_path: Path, scheme: str
) -> None:
    day = date(2026, 3, 2)
    found = Findings(
        day,
        (Athlete("Ada", 3, 2, day, 6, 1, 0),),
        (Stuck("Ada", "balance", "parked pipe", 45, 5, day, day, (("off", 5),)),),
        (Blocking("parked pipe", "balance", ("Ada",)),),
        (Pained("Ada", "wrist", 4, 2, day, ("long plank",)),),
    )
    empty = report_page(builtin_catalogue(), profile(), Past(History()), day.toordinal(), "0.1.0")
    for text in (squad_page(found, lines_of("en")), empty):
        file = tmp_path / "page.html"
        file.write_text(text, encoding="utf-8")
        browser.open(file, scheme=scheme)
        assert browser.requests() == [file.absolute().as_uri()]
        assert violations(browser) == []
