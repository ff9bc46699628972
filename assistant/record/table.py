"""A session as a plain table that fits in 80 columns, for a screen or a printer.

>>> row = SetRow(set_id=1, movement="roller_stand", number=1, side="left", amount=38.2, target=40,
...     unit="seconds", source="timer", came_off=1, whole=True, effort=7, pain=False, logged=38.2)
>>> print(log_table([row]))
Movement      Side   Set    Done  Target  Off  Effort  Note
------------  -----  ---  ------  ------  ---  ------  ----
roller stand  left     1    38 s    40 s    1       7
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from assistant.record.columns import clean, lay_out, width, wrap
from assistant.record.history import SetRow, session_effort, sets
from assistant.record.store import SessionInfo
from assistant.session.facts import (
    CautionsAccepted,
    CheckedIn,
    Fact,
    PainReported,
    ReturnChosen,
    SafeguardAnswered,
    SessionEnded,
    Swapped,
    UnwellReported,
)

WIDTH = 80
"""Columns that everything fits in."""

_HEADS = ("Movement", "Side", "Set", "Done", "Target", "Off", "Effort", "Note")
_FIXED = {"Side": 5, "Set": 3, "Done": 6, "Target": 6, "Off": 3, "Effort": 6}
_RIGHT = frozenset({"Set", "Done", "Target", "Off", "Effort"})
_LONGEST_MOVEMENT = 24
_UNITS = {"seconds": "s", "reps": "x", "metres": "m"}
_ENDS = {
    "done": "all done",
    "finished": "finished early",
    "unwell": "ended unwell",
    "pain": "ended with pain",
    "left": "ended without an answer",
}


def log_table(rows: Sequence[SetRow], names: Mapping[str, str] | None = None) -> str:
    """The sets as an aligned table of at most `WIDTH` columns; `names` gives movements' names.

    "Off" counts steps off, "x" repetitions; a long name or note goes on in the line below.
    """
    if not rows:
        return "No sets were logged."
    cells = [_cells(row, names or {}) for row in rows]
    movement = min(max(width(line[0]) for line in [_HEADS, *cells]), _LONGEST_MOVEMENT)
    room = WIDTH - movement - sum(_FIXED.values()) - 2 * (len(_HEADS) - 1)
    note = min(max(width(line[-1]) for line in [_HEADS, *cells]), room)
    widths = (movement, *_FIXED.values(), note)
    right = tuple(head in _RIGHT for head in _HEADS)
    rule = tuple("-" * size for size in widths)
    lines = [line for row in (_HEADS, rule, *cells) for line in lay_out(row, widths, right)]
    return "\n".join(lines)


def session_text(
    info: SessionInfo, facts: Sequence[Fact], seconds: float, names: Mapping[str, str] | None = None
) -> str:
    """A whole session to read: when and who, its table, and what was said beside the sets."""
    names = names or {}
    how = "not ended" if info.ended is None else "ended"
    if isinstance(info.ended, SessionEnded):
        how = _ENDS[info.ended.how]
    started = info.header.started().isoformat(sep=" ", timespec="minutes")
    title = f"Session {info.id}: {info.header.athlete}, {started}, {seconds / 60:.0f} min, {how}"
    remarks = [line for fact in facts for line in _remarks(fact, names)]
    if (effort := session_effort(facts)) is not None:
        remarks.append(f"Effort of the session: {effort} of 10")
    if isinstance(info.ended, SessionEnded):
        remarks += [f"Next time: {line}" for line in info.ended.next_time]
    parts = [_wrapped([title]), log_table(sets(facts), names), _wrapped(remarks)]
    return "\n\n".join(part for part in parts if part)


def _cells(row: SetRow, names: Mapping[str, str]) -> tuple[str, ...]:
    def amount(value: float) -> str:
        return f"{value:.0f} {_UNITS[row.unit]}"

    notes = []
    if row.amount != row.logged:
        notes.append(f"logged {amount(row.logged)}")
    if not row.whole:
        notes.append("broken off")
    if row.pain:
        notes.append("pain")
    return (
        _name(row.movement, names),
        "" if row.side == "none" else row.side,
        str(row.number),
        amount(row.amount),
        amount(row.target),
        str(row.came_off) if row.came_off else "",
        "" if row.effort is None else str(row.effort),
        ", ".join(notes),
    )


def _name(movement: str, names: Mapping[str, str]) -> str:
    return clean(names.get(movement, movement.replace("_", " ")))


def _remarks(fact: Fact, names: Mapping[str, str]) -> Iterable[str]:
    match fact:
        case CheckedIn():
            where = f" ({', '.join(fact.parts)})" if fact.parts else ""
            energy = "usual energy" if fact.energy_normal else "less energy than usual"
            lacking = f", without {', '.join(fact.lacking)}" if fact.lacking else ""
            yield f"Before: pain {fact.pain} of 10{where}, {energy}{lacking}".replace("_", " ")
        case Swapped(before=before, after=None):
            yield f"Left out: {_name(before, names)}. {fact.why}".removesuffix(". ")
        case Swapped(before=before, after=str(after)):
            yield _instead(_name(before, names), _name(after, names), fact.why)
        case PainReported():
            level = "" if fact.level is None else f" {fact.level} of 10"
            part = f", {fact.part}" if fact.part else ""
            yield f"Pain{level}{part}{_during(fact.movement, names)}"
        case UnwellReported():
            yield f"Unwell{_during(fact.movement, names)}"
        case CautionsAccepted():
            yield "The cautions were heard and accepted"
        case SafeguardAnswered():
            there = "there" if fact.met else "not there"
            yield f"What {fact.hazard} work needs for {_name(fact.movement, names)}: {there}"
        case ReturnChosen():
            yield "Trained again by choice, after being unwell earlier that day"


def _instead(before: str, after: str, why: str) -> str:
    """Which movement took which one's place; the reason may tell one of them, or both, itself."""
    if before == after:
        return f"{before}, with {why}" if why else before
    told = f" {why.casefold()}"
    if f" {after.casefold()}" not in told:
        return f"Instead of {before}: {after}. {why}".removesuffix(". ")
    return why if f" {before.casefold()}" in told else f"Instead of {before}: {why}"


def _during(movement: str | None, names: Mapping[str, str]) -> str:
    return f" in {_name(movement, names)}" if movement else ""


def _wrapped(lines: Iterable[str]) -> str:
    return "\n".join(part for line in lines for part in wrap(clean(line), WIDTH))
