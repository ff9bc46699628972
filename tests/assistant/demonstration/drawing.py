"""Frames of a terminal as one animated SVG: block letters as shapes, words as text.

Block letters are drawn, since fonts leave gaps between them; words are text, which stays readable
when it is made larger, and each row is told its width, whatever font there is. Where motion is not
wanted (`prefers-reduced-motion`, or a viewer without animation) one frame stands still.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from xml.sax.saxutils import escape

CELL_WIDE, CELL_HIGH = 8.4, 18.0
MARGIN = 16.0
FONT = "ui-monospace, SFMono-Regular, Menlo, Consolas, 'DejaVu Sans Mono', monospace"
PAPER, INK = "#14181f", "#e6e9ee"
COLOURS = {
    "default": INK, "red": "#ff7b72", "green": "#7ee787", "brown": "#ffd866", "blue": "#79b8ff",
    "magenta": "#d2a8ff", "cyan": "#76e3ea", "white": INK, "black": PAPER,
}  # fmt: skip
"""By the names that terminals give them; contrast with the paper is over 7 to 1."""

BLOCKS = {"█": (0.0, 1.0), "▀": (0.0, 0.5), "▄": (0.5, 1.0), "─": (0.46, 0.54)}
"""Cells that are drawn: where in the cell's height they begin and end."""


@dataclass(frozen=True)
class Cell:
    text: str
    colour: str = "default"
    bold: bool = False


@dataclass(frozen=True)
class Frame:
    """What stands on the terminal, row by row, and for how many seconds it is shown."""

    rows: Sequence[Sequence[Cell]]
    seconds: float


def animated(frames: Sequence[Frame], still: int, title: str, told: str) -> str:
    """The SVG; `still` is the frame that is shown where nothing moves."""
    columns, rows = len(frames[0].rows[0]), len(frames[0].rows)
    wide, high = columns * CELL_WIDE + 2 * MARGIN, rows * CELL_HIGH + 2 * MARGIN
    whole = sum(frame.seconds for frame in frames)
    style = [
        f"text{{font:14px {FONT};fill:{INK};white-space:pre}}",
        ".b{font-weight:bold}.f{visibility:hidden}.s{visibility:visible}",
    ]
    moving, began = [], 0.0
    for number, frame in enumerate(frames):
        begins, ends = 100 * began / whole, 100 * (began + frame.seconds) / whole
        began += frame.seconds
        hidden = "0%{visibility:hidden}" if number else ""
        moving.append(
            f"@keyframes k{number}{{{hidden}{begins:.2f}%{{visibility:visible}}"
            f"{ends:.2f}%,100%{{visibility:{'hidden' if ends < 99.99 else 'visible'}}}}}"
            f".k{number}{{animation:k{number} {whole:g}s step-end infinite}}"
        )
    style.append(f"@media (prefers-reduced-motion:no-preference){{{''.join(moving)}}}")
    drawn = [
        f'<g class="f{" s" if number == still else ""} k{number}">{picture(frame)}</g>'
        for number, frame in enumerate(frames)
    ]
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide:g} {high:g}" '
            f'width="{wide:g}" height="{high:g}" role="img" aria-labelledby="t d">',
            f'<title id="t">{escape(title)}</title><desc id="d">{escape(told)}</desc>',
            f"<style>{''.join(style)}</style>",
            f'<rect width="100%" height="100%" rx="8" fill="{PAPER}"/>',
            *drawn,
            "</svg>\n",
        ]
    )


def picture(frame: Frame) -> str:
    """One frame: a path for each colour of blocks, and a text for each run of words."""
    paths: dict[str, list[str]] = {}
    texts = []
    for y, row in enumerate(frame.rows):
        column = 0
        for kind, run in groupby(row, _kind):
            cells = list(run)
            block, colour, bold = kind
            x, top = MARGIN + column * CELL_WIDE, MARGIN + y * CELL_HIGH
            if block:
                begins, ends = BLOCKS[block]
                paths.setdefault(colour, []).append(
                    f"M{x:g} {top + begins * CELL_HIGH:g}h{len(cells) * CELL_WIDE:.4g}"
                    f"v{(ends - begins) * CELL_HIGH:g}H{x:g}z"
                )
            else:
                texts += _text("".join(cell.text for cell in cells), x, top, colour, bold)
            column += len(cells)
    shapes = [f'<path fill="{COLOURS[c]}" d="{"".join(parts)}"/>' for c, parts in paths.items()]
    return "".join([*shapes, *texts])


def _kind(cell: Cell) -> tuple[str, str, bool]:
    if cell.text in BLOCKS:
        return cell.text, cell.colour, False
    return "", cell.colour, cell.bold


def _text(text: str, x: float, top: float, colour: str, bold: bool) -> list[str]:
    words = text.strip(" ")
    if not words:
        return []
    x += (len(text) - len(text.lstrip(" "))) * CELL_WIDE
    fill = "" if COLOURS[colour] == INK else f' fill="{COLOURS[colour]}"'
    weight = ' class="b"' if bold else ""
    place = f'x="{x:g}" y="{top + 13.5:g}" textLength="{len(words) * CELL_WIDE:.5g}"'
    return [f"<text {place}{weight}{fill}>{escape(words)}</text>"]
