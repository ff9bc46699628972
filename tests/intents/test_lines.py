"""Lines that languages write their own way: endings by sound, counts, lists; and what is wrong."""

from __future__ import annotations

import doctest

import pytest

from assistant.coach import lines_of
from intents import grammar, lines, numbers, words
from intents.lines import Line, LineError, Lines

AGREE = """
[lines]
by = "{name}으로/로"
of = "{name}이/가, {name}은/는, {name}을/를"
[[agree]]
where = "[\\u11a8-\\u11c2013678]"
forms = { "이/가" = ["이", "가"], "은/는" = ["은", "는"], "을/를" = ["을", "를"] }
[[agree]]
where = "[\\u11a8-\\u11ae\\u11b0-\\u11c2036]"
forms = { "으로/로" = ["으로", "로"] }
"""


@pytest.mark.parametrize("module", [lines, grammar, words, numbers])
def test_examples(module: object) -> None:
    assert doctest.testmod(module).failed == 0  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("벽", "벽으로"), ("매트", "매트로"), ("발", "발로"), ("3", "3으로"), ("1", "1로"),
        ("벽)", "벽)으로"),
    ],
)  # fmt: skip
def test_an_ending_goes_by_the_letter_before_it(name: str, text: str) -> None:
    """Which form follows which sound: the rule of Korean schoolbooks, from memory."""
    assert Lines.load(AGREE).render(Line("by", {"name": name})) == text


def test_every_ending_of_a_line_is_chosen() -> None:
    made = Lines.load(AGREE)
    assert made.render(Line("of", {"name": "수건"})) == "수건이, 수건은, 수건을"
    assert made.render(Line("of", {"name": "의자"})) == "의자가, 의자는, 의자를"


def test_counts_and_lists_are_written_as_the_language_does() -> None:
    korean = lines_of("ko")
    assert korean.duration(90) == "1분 30초"
    assert korean.count(3, "set") == "3세트"
    told = korean.render(Line("equipment.ask", {"items": ("매트", "철봉", "파이프")}))
    assert told == "오늘은 매트, 철봉과 파이프가 필요해요. 다 있어요?"


@pytest.mark.parametrize(
    "text",
    [
        '[[agree]]\nwhere = "["\nforms = { "a" = ["b", "c"] }',
        '[[agree]]\nwhere = "x"',
        '[[agree]]\nwhere = "x"\nforms = { "a" = ["b"] }',
        "agree = [3]",
    ],
)
def test_a_wrong_agreement_is_told(text: str) -> None:
    with pytest.raises(LineError, match=r"an \[\[agree\]\] can not be read"):
        Lines.load(text)
