from __future__ import annotations

import pytest

from intents.template import Slot, TemplateError, Word, flat, names, parse


def lines(text: str, **pieces: str) -> list[str]:
    made = {name: parse(piece) for name, piece in pieces.items()} or None
    return [" ".join(map(str, line)) for line in flat(parse(text), made)]


@pytest.mark.parametrize(
    ("text", "ways"),
    [
        ("next", ["next"]),
        ("next one", ["next one"]),
        ("(a|b) c", ["a c", "b c"]),
        ("a [b]", ["a", "a b"]),
        ("a [b|c] d", ["a d", "a b d", "a c d"]),
        ("a|b c", ["a", "b c"]),
        ("((a|b)|[c] d)", ["a", "b", "d", "c d"]),
        ("pull-up bar", ["pull up bar"]),
        ("Don't STOP", ["don't stop"]),
        ("{reps} reps", ["{reps} reps"]),
        ("a <p> b", ["a <p> b"]),
    ],
)
def test_ways(text: str, ways: list[str]) -> None:
    assert lines(text) == ways


def test_pieces_are_filled_in_where_given() -> None:
    assert lines("go <p>", p="(on|<q>)", q="now") == ["go on", "go now"]


def test_slots() -> None:
    assert parse("{reps}") == Slot(("reps",), "reps")
    assert parse("{reps+per_side:count}") == Slot(("reps", "per_side"), "count")
    assert parse("word") == Word("word")


def test_names_of_pieces() -> None:
    assert sorted(names(parse("a <p> [b|<q>]"))) == ["p", "q"]


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("next [one", "the '[' is never closed; add ']'"),
        ("next (one", "the '(' is never closed; add ')'"),
        ("next (one]", "the '(' is never closed; add ')'"),
        ("next one]", "the ']' closes nothing; take it out"),
        ("next (|one)", "an alternative is empty; write something in it, or use [ ]"),
        ("", "an alternative is empty; write something in it, or use [ ]"),
        ("log {Reps}", "'{' can not stand there; write {slot} or <piece>"),
        ("log <", "'<' can not stand there; write {slot} or <piece>"),
    ],
)
def test_mistakes_are_named(text: str, wrong: str) -> None:
    with pytest.raises(TemplateError) as caught:
        parse(text)
    assert str(caught.value) == f"template {text!r}: {wrong}"
