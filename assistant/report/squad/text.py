"""The findings on a squad, to read in a terminal."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from assistant.counted import counted
from assistant.record.columns import clean, lay_out, width, wrap
from assistant.report.squad.findings import TURNS, Findings, Stuck
from intents.lines import Lines

COLUMNS = 80
MOST = 40
"""Rows of one table; how many more there are is told."""

WENT = {
    "pain": "with pain",
    "off": "with steps off",
    "short": "too short",
    "hard": "too hard",
    "easier": "easier instead",
    "reached": "all done: open what is harder?",
}


def squad_text(found: Findings, lines: Lines) -> str:
    """Who is stuck, what blocks most people, who had pain, and everyone."""
    parts = [
        f"{counted(len(found.athletes), 'athlete')}, {counted(found.sessions, 'session')}; "
        f"lately means since {_day(found.since)}",
        _titled(
            f"Stuck: no further in a skill for {TURNS} sessions or more",
            ("Athlete", "Movement", "Target", "Sessions", "How they went"),
            [(s.athlete, s.movement, str(s.target), str(s.turns), went(s)) for s in found.stuck],
            (False, False, True, True, False),
            "Nobody.",
        ),
        _titled(
            "What blocks most people",
            ("Movement", "Skill", "People", "Who"),
            [
                (b.movement, b.skill, str(len(b.athletes)), ", ".join(b.athletes))
                for b in found.blocking
            ],
            (False, False, True, False),
            "Nothing.",
        ),
        _titled(
            "Pain and feeling unwell lately",
            ("Athlete", "Part", "Worst", "Times", "Last", "In"),
            [
                (
                    p.athlete,
                    lines.word(p.part),
                    "" if p.worst is None else str(p.worst),
                    str(p.times),
                    _day(p.last_day),
                    ", ".join(p.movements) or "before the session",
                )
                for p in found.pained
            ],
            (False, False, True, True, False, False),
            "None was said.",
        ),
        _titled(
            "Everyone, the longest away first",
            ("Athlete", "Last", "Lately", "In all", "Effort", "Off", "Broken off"),
            [
                (
                    a.name,
                    _day(a.last_day),
                    str(a.lately),
                    str(a.sessions),
                    "" if a.effort is None else str(a.effort),
                    str(a.came_off),
                    str(a.broken) if a.broken else "",
                )
                for a in found.athletes
            ],
            (False, False, True, True, True, True, True),
            "Nobody.",
        ),
        "\n".join(
            wrap(
                "Lately and In all count sessions, Effort is their mean, Off counts steps off "
                "lately, Broken off sessions that pain or feeling unwell ended lately.",
                COLUMNS,
            )
        ),
    ]
    return "\n\n".join(parts)


def went(stuck: Stuck) -> str:
    """How the sessions without progress went, in words."""
    return ", ".join(f"{times} {WENT[how]}" for how, times in stuck.went)


def table(
    heads: Sequence[str],
    rows: Sequence[Sequence[str]],
    right: Sequence[bool],
    columns: int = COLUMNS,
) -> str:
    """An aligned table that fits in `columns`: its widest columns give way and are wrapped."""
    shown = [tuple(clean(cell) for cell in row) for row in rows[:MOST]]
    widths = [max(width(row[at]) for row in (heads, *shown)) for at in range(len(heads))]
    least = [max(width(word) for word in head.split()) for head in heads]
    while sum(widths) + 2 * (len(widths) - 1) > columns:
        widest = max(range(len(widths)), key=lambda at: widths[at] - least[at])
        if widths[widest] <= max(least[widest], 6):
            break
        widths[widest] -= 1
    rule = tuple("-" * size for size in widths)
    laid = [lay_out(row, widths, right) for row in (tuple(heads), rule, *shown)]
    text = [line for lines in laid for line in lines]
    if len(rows) > MOST:
        text.append(f"and {len(rows) - MOST} more")
    return "\n".join(text)


def _titled(
    title: str,
    heads: Sequence[str],
    rows: Sequence[Sequence[str]],
    right: Sequence[bool],
    otherwise: str,
) -> str:
    return f"{title}\n\n{table(heads, rows, right) if rows else otherwise}"


def _day(day: date) -> str:
    return day.isoformat()
