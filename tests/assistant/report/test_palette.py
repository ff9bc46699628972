"""Every colour can be told from what lies behind it, by WCAG 2 (1.4.3, 1.4.6 and 1.4.11).

`contrast` itself is checked against axe-core, an independent checker, in `test_browser.py`, and
against the ends of the scale that WCAG names: 1 to 1 and 21 to 1.
"""

from __future__ import annotations

import re
from importlib import resources

import pytest

from assistant.report.palette import DARK, LIGHT, PRINT, Palette, contrast

TEXT, LARGE_TEXT_AND_GRAPHICS, ENHANCED = 4.5, 3.0, 7.0


def test_the_ends_of_the_scale() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#808080", "#808080") == 1
    assert contrast("#ffffff", "#123456") == contrast("#123456", "#ffffff")


@pytest.mark.parametrize("palette", [LIGHT, DARK, PRINT], ids=["light", "dark", "print"])
def test_text_and_marks_can_be_seen(palette: Palette) -> None:
    for ground in ("paper", "card", "band"):
        behind = palette[ground]
        assert contrast(palette["ink"], behind) >= ENHANCED
        for text in ("soft", "mark", "alarm"):
            assert contrast(palette[text], behind) >= TEXT, (text, ground)
        for drawn in ("edge", "second"):
            assert contrast(palette[drawn], behind) >= LARGE_TEXT_AND_GRAPHICS, (drawn, ground)


def test_a_dark_room_stays_dark() -> None:
    """No large surface in the dark palette is brighter than a twentieth of white."""
    for ground in ("paper", "card", "band"):
        assert contrast(DARK[ground], "#000000") < 2
    assert contrast(DARK["ink"], "#ffffff") > 1.2  # no glare of pure white


def test_the_style_names_no_colour_of_its_own() -> None:
    text = (resources.files("assistant.report") / "templates" / "style.css").read_text("utf-8")
    assert not re.search(r"#[0-9a-fA-F]{3,8}\b|\brgb|\bhsl", text)
    used = set(re.findall(r"var\(--(\w+)\)", text))
    assert used <= set(LIGHT) == set(DARK) == set(PRINT)
