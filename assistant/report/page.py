"""Pages: templates filled in, everything that comes from outside escaped.

A page is one file. Its policy forbids it to load anything, so that it opens offline and tells
nobody that it was opened.
"""

from __future__ import annotations

from datetime import date
from functools import cache
from importlib import resources
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from assistant.report.palette import DARK, LIGHT, PRINT, as_css

LANGUAGE = "en"
"""The language that stands in where there are no templates in the athlete's own."""

MONTHS_ONLY = 150
"""Days from which on an axis is labelled with months, and ten times as many with years."""


def page(template: str, language: str, /, **values: Any) -> str:
    """The page of a template (such as "report.html"), filled with `values`."""
    known = _templates(language)
    return _environment(known).get_template(template).render(language=known, **values)


@cache
def _environment(language: str) -> Environment:
    made = Environment(
        loader=PackageLoader("assistant.report", f"templates/{language}"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters |= {"day": day, "stretch": stretch, "tick": tick, "whole": whole}
    made.globals["css"] = Markup(_style())
    return made


def day(ordinal: int) -> str:
    """A day as people write it.

    >>> day(date(2026, 1, 5).toordinal())
    '5 Jan 2026'
    """
    when = date.fromordinal(ordinal)
    return f"{when.day} {when:%b} {when.year}"


def stretch(first: int, last: int) -> str:
    """From one day to another, with no more words than needed.

    >>> stretch(date(2026, 1, 5).toordinal(), date(2026, 1, 11).toordinal())
    '5 to 11 Jan 2026'
    """
    begin, end = date.fromordinal(first), date.fromordinal(last)
    if first == last:
        return day(last)
    if (begin.year, begin.month) == (end.year, end.month):
        return f"{begin.day} to {day(last)}"
    if begin.year == end.year:
        return f"{begin.day} {begin:%b} to {day(last)}"
    return f"{day(first)} to {day(last)}"


def tick(ordinal: int, over: int) -> str:
    """A day under an axis that goes over so many days."""
    when = date.fromordinal(ordinal)
    if over >= 10 * MONTHS_ONLY:
        return str(when.year) if when.month == 1 else f"{when:%b} {when.year}"
    if over >= MONTHS_ONLY:
        return f"{when:%b} {when.year}"
    return f"{when.day} {when:%b}"


def whole(value: float) -> str:
    """An amount without a fraction: clocks and counts are not worth more."""
    return f"{value:.0f}"


def _style() -> str:
    text = (resources.files("assistant.report") / "templates" / "style.css").read_text("utf-8")
    for name, palette in {"LIGHT": LIGHT, "DARK": DARK, "PRINT": PRINT}.items():
        text = text.replace(f"/* {name} */", as_css(palette))
    return text


@cache
def _templates(language: str) -> str:
    folder = resources.files("assistant.report") / "templates" / language
    return language if folder.is_dir() else LANGUAGE
