"""The README's picture: drawn as the terminal stood, small, still where no motion is wanted."""

from __future__ import annotations

import sys
from pathlib import Path
from xml.etree import ElementTree

sys.path.insert(0, str(Path(__file__).parent))
from drawing import CELL_HIGH, CELL_WIDE, COLOURS, MARGIN, PAPER, Cell, Frame, animated, picture
from picture import FILE, STILL

SVG = "{http://www.w3.org/2000/svg}"


def rows(*texts: str) -> list[list[Cell]]:
    return [[Cell(letter, "green") for letter in text] for text in texts]


def test_blocks_are_shapes_in_their_cells_and_words_are_text() -> None:
    drawn = ElementTree.fromstring(f"<g>{picture(Frame(rows('  ▀▀ ', ' a b '), 1))}</g>")
    path, text = drawn
    x, y = MARGIN + 2 * CELL_WIDE, MARGIN
    assert path.get("d") == f"M{x:g} {y:g}h{2 * CELL_WIDE:g}v{CELL_HIGH / 2:g}H{x:g}z"
    assert path.get("fill") == COLOURS["green"]
    assert text.text == "a b"
    assert float(text.get("x", "")) == MARGIN + CELL_WIDE
    assert text.get("textLength") == f"{3 * CELL_WIDE:g}"


def test_what_is_written_is_escaped() -> None:
    assert "&lt;b&gt; &amp;" in picture(Frame(rows("<b> &"), 1))


def test_frames_follow_each_other_and_one_stands_still() -> None:
    made = animated([Frame(rows("a"), 1), Frame(rows("b"), 3)], 1, "title", "told")
    assert "@keyframes k1{0%{visibility:hidden}25.00%{visibility:visible}" in made
    assert "prefers-reduced-motion:no-preference" in made
    groups = ElementTree.fromstring(made).findall(f"{SVG}g")
    assert [g.get("class") for g in groups] == ["f k0", "f s k1"]


def test_colours_can_be_read_on_the_paper() -> None:
    """Contrast by WCAG 2.2 (W3C), success criterion 1.4.6: at least 7 to 1."""

    def light(colour: str) -> float:
        parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
        linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
        return sum(w * p for w, p in zip((0.2126, 0.7152, 0.0722), linear, strict=True))

    for name, colour in COLOURS.items():
        if name != "black":
            assert (light(colour) + 0.05) / (light(PAPER) + 0.05) >= 7, name


def test_the_picture_in_the_package_is_whole_and_small() -> None:
    assert FILE.stat().st_size < 200_000
    whole = ElementTree.fromstring(FILE.read_text(encoding="utf-8"))
    frames = whole.findall(f"{SVG}g")
    assert len(frames) > 10
    assert "s" in (frames[STILL].get("class") or "").split()
    assert whole.find(f"{SVG}title") is not None
    said = {text.text for text in whole.iter(f"{SVG}text")}
    assert "i came off" in " ".join(filter(None, said))
    assert not list(whole.iter(f"{SVG}image")), "it stands by itself"
