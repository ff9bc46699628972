"""The colours of a page, for light, for a dark room and for print, and how well they can be read.

>>> round(contrast("#000000", "#ffffff"), 2)
21.0
"""

from __future__ import annotations

from collections.abc import Mapping

Palette = Mapping[str, str]

LIGHT: Palette = {
    "paper": "#f7f5f0",
    "card": "#ffffff",
    "ink": "#1c2127",
    "soft": "#545b64",
    "line": "#d9d6cf",
    "edge": "#857f73",
    "band": "#dcead9",
    "mark": "#155e9c",
    "second": "#8a4b00",
    "alarm": "#b3261e",
}
DARK: Palette = {
    "paper": "#111315",
    "card": "#1a1d20",
    "ink": "#d9d5cc",
    "soft": "#a29d93",
    "line": "#33373c",
    "edge": "#7d7a73",
    "band": "#22332a",
    "mark": "#79b4ea",
    "second": "#d9a05b",
    "alarm": "#f0938a",
}
PRINT: Palette = {
    "paper": "#ffffff",
    "card": "#ffffff",
    "ink": "#000000",
    "soft": "#444444",
    "line": "#cccccc",
    "edge": "#777777",
    "band": "#e6e6e6",
    "mark": "#003f77",
    "second": "#6e3b00",
    "alarm": "#8f1710",
}
"""`ink` and `soft` are text; `line` is the grid; `edge` bounds what must be told apart; `mark`,
`second` and `alarm` are what is drawn. Whatever a colour says, a shape or a word says too."""


def as_css(palette: Palette) -> str:
    """The palette as custom properties."""
    return " ".join(f"--{name}: {colour};" for name, colour in palette.items())


def contrast(one: str, other: str) -> float:
    """The contrast of two colours (`#rrggbb`), 1 to 21, as WCAG 2 defines it (1.4.3)."""
    lights = sorted((_light(one), _light(other)))
    return (lights[1] + 0.05) / (lights[0] + 0.05)


def _light(colour: str) -> float:
    """Relative luminance, 0 to 1."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
