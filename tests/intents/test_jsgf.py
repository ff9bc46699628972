"""JSGF texts, read back by PocketSphinx's own parser (the CMU Sphinx project's)."""

from __future__ import annotations

from itertools import product

import pocketsphinx
import pytest

from intents.jsgf import Atoms, Writer, automaton, joined
from intents.template import parse


@pytest.fixture(scope="module")
def decoder() -> pocketsphinx.Decoder:
    return pocketsphinx.Decoder(lm=None, loglevel="FATAL")


def accepts(decoder: pocketsphinx.Decoder, expansion: str, text: str, rules: str = "") -> bool:
    grammar = f"#JSGF V1.0;\ngrammar x;\npublic <said> = {expansion};\n{rules}"
    return bool(decoder.parse_jsgf(grammar).accept(text))


FORMS: list[list[Atoms]] = [
    [("one",), ("two",), ("three", "four")],
    [("thirty",), ("thirty", "one"), ("thirty", "two"), ("forty",), ("forty", "one")],
    [("a", "one"), ("one",), ("a", "two"), ("two",)],
    [("one",), ("one", "hundred"), ("one", "hundred", "and", "two"), ("one", "hundred", "two")],
    [("left", "one"), ("right", "one"), ("one",), ("one", "two")],
]


@pytest.mark.parametrize("forms", FORMS)
def test_an_automaton_accepts_its_forms_and_nothing_else(
    decoder: pocketsphinx.Decoder, forms: list[Atoms]
) -> None:
    words = sorted({word for form in forms for word in form})
    expansion = automaton(forms)
    for length in range(1, 5):
        for text in product(words, repeat=length):
            assert accepts(decoder, expansion, " ".join(text)) is (text in forms), (expansion, text)


def test_alternatives_with_a_rule_in_common_share_it() -> None:
    assert joined([("a", "<n>"), ("b", "<n>")]) == "(a | b) <n>"
    assert joined([("<n>", "a"), ("<n>", "b"), ("<n>",)]) == "<n> [a | b]"
    assert joined([("a",), ("a",), ("b",)]) == "a | b"


def test_contractions_stand_beside_what_they_are_short_for(decoder: pocketsphinx.Decoder) -> None:
    writer = Writer({}, {}, {}, {("do", "not"): "don't", ("it", "is"): "it's"})
    expansion = joined(writer.alternatives(parse("i do not (have|see) it|(it|that) is")))
    for text, fits in [
        ("i do not have it", True),
        ("i don't see it", True),
        ("it is", True),
        ("it's", True),
        ("that is", True),
        ("that's", False),
        ("i do have it", False),
    ]:
        assert accepts(decoder, expansion, text) is fits, (expansion, text)


def test_rules_that_rules_name_are_defined(decoder: pocketsphinx.Decoder) -> None:
    slots: dict[str, list[Atoms]] = {"n": [("<outer>",)]}
    writer = Writer(slots, {"<outer>": "a <inner>", "<inner>": "b"}, {"p": parse("{n} c")}, {})
    public = joined(writer.alternatives(parse("x <p>")))
    text = writer.document("x", public)
    assert decoder.parse_jsgf(text).accept("x a b c")
