"""The findings on a squad as a page."""

from __future__ import annotations

from assistant.report.page import page
from assistant.report.squad.findings import TURNS, Findings
from assistant.report.squad.text import went
from intents.lines import Lines


def squad_page(found: Findings, lines: Lines) -> str:
    """One HTML page, with the same tables as the text."""
    return page("squad.html", lines.language, found=found, turns=TURNS, went=went, word=lines.word)
