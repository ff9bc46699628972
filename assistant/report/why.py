"""The decision on a movement to read in a terminal, with the sets that it rests on."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from rapidfuzz import fuzz, process

from assistant.errors import InputError
from assistant.record.columns import clean, lay_out, width, wrap
from assistant.report.decisions import Decided
from catalogue.history import SetDone
from catalogue.model import Catalogue, Movement
from catalogue.names import plain_name
from catalogue.plain import nearest

COLUMNS = 80
NEAREST = 3
"""Names that are offered where none is close."""
FAR = 40
"""Likeness of a hundred up to which a name is not worth offering (judgement)."""

_UNITS = {"seconds": "s", "reps": "x", "metres": "m"}
_HEADS = ("Day", "Side", "Done", "Target", "Off", "Effort", "Note")
_RIGHT = (False, False, True, True, True, True, False)


def named(catalogue: Catalogue, words: str) -> Movement:
    """The movement of an id or a spoken name. Raises InputError with the nearest one there is."""
    if words in catalogue.movements:
        return catalogue.movements[words]
    sounds: dict[str, Movement] = {}
    for movement in catalogue.movements.values():
        for name in (movement.id, movement.name, *movement.also):
            sounds.setdefault(plain_name(name), movement)
    sound = plain_name(words)
    if sound in sounds:
        return sounds[sound]
    near = nearest(sound, list(sounds))
    if near:
        mend = f"did you mean {sounds[near].name!r}?"
    else:
        found = process.extract(sound, list(sounds), scorer=fuzz.WRatio, limit=2 * NEAREST)
        names = dict.fromkeys(repr(sounds[name].name) for name, score, _ in found if score > FAR)
        mend = f"nearest: {', '.join(list(names)[:NEAREST])}." if names else "none is near."
    raise InputError(
        f"There is no movement {words!r} in the catalogue: {mend} All of them: cuewalk why --list"
    )


def listed(catalogue: Catalogue) -> str:
    """The names of all movements, those of a skill or a phase together."""
    groups: dict[str, list[str]] = {}
    for movement in catalogue.movements.values():
        skill = catalogue.skills[movement.skill].name if movement.skill else ""
        group = skill or movement.phase.value.replace("_", " ")
        groups.setdefault(group, []).append(movement.name)
    return "\n".join(_wrapped(f"{group}: {', '.join(names)}") for group, names in groups.items())


def why_text(decided: Decided) -> str:
    """The decision in a sentence, its rule and source, and the sets behind it."""
    told = [decided.sentence]
    if decided.note:
        told.append(decided.note)
    rule = f"Rule: {decided.says}. Source: {decided.source}."
    parts = [_wrapped(" ".join(told)), _wrapped(rule)]
    if decided.hands:
        parts.append(_wrapped(decided.hands))
    if decided.sets:
        parts.append(sets_table(decided.sets))
    else:
        parts.append(f"No set of {clean(decided.movement.name)} is on record yet.")
    return "\n\n".join(parts)


def sets_table(sets: Sequence[SetDone]) -> str:
    """The sets as an aligned table, oldest first; "Off" counts steps off, "x" repetitions."""
    rows = [_HEADS, *map(_cells, sets)]
    widths = [max(width(row[column]) for row in rows) for column in range(len(_HEADS))]
    rule = tuple("-" * size for size in widths)
    laid = [lay_out(row, widths, _RIGHT) for row in (rows[0], rule, *rows[1:])]
    return "\n".join(line for lines in laid for line in lines)


def _cells(done: SetDone) -> tuple[str, ...]:
    unit = _UNITS[done.unit]
    notes = [note for note, holds in (("broken off", not done.whole), ("pain", done.pain)) if holds]
    return (
        date.fromordinal(done.day).isoformat(),
        "" if done.side == "none" else done.side,
        f"{done.amount:.0f} {unit}",
        f"{done.target} {unit}",
        str(done.came_off) if done.came_off else "",
        "" if done.rpe is None else str(done.rpe),
        ", ".join(notes),
    )


def _wrapped(text: str) -> str:
    return "\n".join(wrap(clean(text), COLUMNS))
