"""A planned session on one sheet of paper: to look at, and to write on where nobody listens."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from assistant.report.decisions import sentence
from assistant.report.page import page
from assistant.report.words import lines_of
from assistant.session.amounts import sets_of, sides_of
from assistant.session.wording import dose
from catalogue.detail import ranked_cues
from catalogue.model import Catalogue, Equipment, Movement, Phase, Profile
from catalogue.plan import Block, Plan

POINT = 0.3528
"""Millimetres in a typographic point."""

HEIGHT, WIDTH, DOSE = 256.0, 100.0, 37.5
"""Millimetres inside the margins: the height of US Letter, and the parts of A4's width that the
text and the dose have."""

AROUND = 18.0
"""What title, caution, heads and foot take, in heights of the type."""

LINE, PADDING, BOXES = 1.2, 0.5, 2.05
"""A line, the room round a row, and a line of boxes, in heights of the type."""

LETTER, BOLD = 0.58, 0.65
"""Mean width of a letter of a wide typeface, in heights of the type."""

EFFORT = 14
"""Letters that the line to write an effort on takes the place of."""


@dataclass(frozen=True)
class Row:
    """One block as it is printed. `boxes` names the sets to tick, by number and side."""

    movement: Movement
    phase: Phase
    dose: str
    set_up: str
    cues: tuple[str, ...]
    safety: tuple[str, ...]
    why: str | None
    stand_in: str | None
    boxes: tuple[tuple[int, str], ...]


@dataclass(frozen=True)
class Density:
    """Type size in points, and how much is told: 2 all, 1 without set-up and reasons, 0 least."""

    size: float
    detail: int


DENSITIES = tuple(
    Density(size, detail)
    for detail, sizes in ((2, (10.0, 9.0, 8.0)), (1, (9.0, 8.0, 7.0)), (0, (8.5, 7.5, 6.5, 5.5)))
    for size in sizes
)
"""From roomy to dense; the first that fits one page is taken."""


def sheet_page(catalogue: Catalogue, profile: Profile, plan: Plan, day: int, program: str) -> str:
    """The session as one HTML page that prints on one side of A4 or US Letter."""
    lines = lines_of(profile.language)
    rows = [row_of(catalogue, profile, block) for block in plan.blocks]
    left_out = [sentence(lines, reason) for reason in plan.left_out]
    gear = _gear(catalogue, rows)
    return page(
        "sheet.html",
        profile.language,
        athlete=profile.athlete,
        day=day,
        minutes=round(plan.seconds / 60),
        space=ceil(max(row.movement.space for row in rows)),
        phases=[
            (phase, [(number, row) for number, row in enumerate(rows, 1) if row.phase is phase])
            for phase in Phase
        ],
        gear=gear,
        left_out=left_out,
        density=density(rows, sum(map(len, left_out)) + sum(map(_length, gear))),
        program=program,
        word=lines.word,
    )


def density(rows: list[Row], more: int) -> Density:
    """How to print the rows and `more` letters of other text so that they take one page."""
    for option in DENSITIES:
        type_height = option.size * POINT
        other = ceil(more / (1.9 * _letters(option, LETTER))) if option.detail else 0
        height = AROUND + other * LINE + sum(_height(row, option) for row in rows)
        if height * type_height <= HEIGHT:
            return option
    return DENSITIES[-1]


def row_of(catalogue: Catalogue, profile: Profile, block: Block) -> Row:
    """A block of a plan as it is printed."""
    lines = lines_of(profile.language)
    movement = catalogue.movements[block.movement]
    boxes = [
        (number, "" if side == "none" else side)
        for number in range(1, sets_of(block) + 1)
        for side in sides_of(movement, block, number)
    ]
    reasons = [reason for reason in (block.reason, block.extra_because) if reason is not None]
    return Row(
        movement,
        block.phase,
        lines.render(dose(block, movement)),
        " ".join(movement.set_up),
        tuple(cue.text for cue in ranked_cues(movement)[:2]),
        movement.safety,
        " ".join(sentence(lines, reason) for reason in reasons) or None,
        block.stand_in,
        tuple(boxes),
    )


def _gear(catalogue: Catalogue, rows: list[Row]) -> list[Equipment]:
    needed = dict.fromkeys(item for row in rows for item in row.movement.equipment)
    return [catalogue.equipment[item] for item in needed]


def _length(item: Equipment) -> int:
    return len(item.name) + sum(len(s.name) + len(s.condition) for s in item.stand_ins)


def _letters(option: Density, letter: float) -> float:
    """Letters in one line of a row's text."""
    type_height = option.size * POINT
    return (WIDTH / type_height - 2.6) / letter


def _height(row: Row, option: Density) -> float:
    """A row's height, in heights of the type: of its text, its dose or its boxes."""
    plain: list[str] = []
    bold = [row.movement.name]
    if option.detail or row.movement.hazards:
        (bold if row.movement.hazards else plain).append(" ".join(row.safety))
    if option.detail:
        plain.append(" ".join(row.cues))
    if option.detail == 2:
        plain += [row.set_up, row.why or ""]
    text = sum(
        ceil(len(told) / _letters(option, letter))
        for letter, texts in ((LETTER, plain), (BOLD, bold))
        for told in texts
    )
    dose = ceil(
        (len(row.dose) + (EFFORT if row.phase is Phase.MAIN else 0))
        / ((DOSE / (option.size * POINT) - 0.8) / LETTER)
    )
    boxes = ceil(len(row.boxes) / 4)
    return max(text * LINE, dose * LINE, boxes * BOXES) + PADDING
