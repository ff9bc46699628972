"""Mistakes of form in TOML: each in plain words, with its line, and the rest still read."""

from __future__ import annotations

import pytest

from catalogue.parse import RETRIES, parse

FORMS = {
    "a = ": "1: there is no value, or one that TOML does not know; "
    "put text in quotes and lists in [ ]",
    "a = 1\nb = yes": "2: there is no value, or one that TOML does not know; "
    "put text in quotes and lists in [ ]",
    "= 3": "1: this is neither a key nor a header; write it as key = value",
    "a 3": "1: a key has no = after it; write it as key = value",
    "a = 1 b = 2": "1: there is more on the line than one value; begin a new line for it",
    'a = "x\nb = 1': "1: a text is not closed on its line; add the closing quote",
    'a = 1\nb = "x': "2: a text has no closing quote; close it with the quote it began with",
    'a = 1\nb = """x\ny\nz': "2: a text has no closing quote; "
    "close it with the quote it began with",
    "a = '''x\ny": "1: a text has no closing quotes; close it with ''' as it began",
    'a = "x \\q"': "1: a backslash stands alone in a text; take it out",
    'a = "\\uD800"': "1: a text has a character code that does not exist; take it out",
    "a = [1, 2\n\nb = 3": "3: a list is not closed, or a comma is missing in it; "
    "add the ] or the ,",
    "a = [1,\nb = 3": "2: a list before this line is not closed; add the ]",
    "a = { b = 1\nc = 2": "1: a { is not closed, or a comma is missing; add the } or the ,",
    "a = 1\n\na = 2": "3: a key is written twice; keep one of the two",
    "a = { b = 1, b = 2 }": "1: a key is written twice in { }; keep one of the two",
    "[a]\n[a]": "2: a header is written twice; write [[...]] for a further entry",
    "a = { b = 1 }\na.c = 2": "2: a key adds to something that is closed; "
    "write it all in one place",
    "[a\nb = 1": "1: a header is not closed; close it with as many ] as it opens with [",
    "a = 2026-02-30": "1: a date does not exist; take it out, or put it in quotes",
}


@pytest.mark.parametrize("text", FORMS)
def test_each_mistake_of_form_has_its_sentence(text: str) -> None:
    assert [str(p) for p in parse("a.toml", text).problems] == [f"a.toml:{FORMS[text]}"]


def test_a_slip_in_one_block_leaves_the_others() -> None:
    text = '[[a]]\nid = "x"\n[[b]]\nid = "y"\nc = \n[b.d]\ne = 1\n[[a]]\nid = "z"\n'
    read = parse("a.toml", text)
    assert [p.line for p in read.problems] == [5]
    assert read.tables == {"a": [{"id": "x"}, {"id": "z"}]}
    assert read.set_aside == {("b", "y")}


def test_every_block_with_a_slip_is_named() -> None:
    read = parse("a.toml", '[[a]]\nid = "x"\nb = \n' * 5)
    assert sorted(p.line for p in read.problems) == [3, 6, 9, 12, 15]


def test_slips_without_end_are_cut_short() -> None:
    read = parse("a.toml", "[[a]]\nb = \n" * 500)
    assert len(read.problems) == RETRIES


def test_what_is_open_to_the_end_takes_the_rest_with_it() -> None:
    """Quotes that are never closed swallow what follows: it is known, and not complained of."""
    read = parse("a.toml", '[[a]]\nid = "x"\n[[a]]\nid = "y"\nb = """\n[[a]]\nid = "z"\n')
    assert [p.line for p in read.problems] == [5]
    assert read.tables == {"a": [{"id": "x"}]}
    assert read.set_aside == {("a", "y"), ("a", "z")}


@pytest.mark.parametrize("char", ["\x00", "\x1b", "\x7f", "\u0085", "\u200b", "\u202e", "\ud800"])
def test_characters_that_cannot_be_shown_are_refused(char: str) -> None:
    read = parse("a.toml", f'a = 1\nb = "x{char}y"\n')
    assert [p.line for p in read.problems] == [2]
    assert f"U+{ord(char):04X}" in read.problems[0].what
    assert str(read.problems[0]).isprintable()


def test_letters_of_other_languages_are_kept() -> None:
    assert parse("a.toml", 'a = "Füße – ногой"').tables == {"a": "Füße – ногой"}
