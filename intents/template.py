"""The one template syntax: words, alternatives, optionals, slots and named pieces.

    next [one]              next, next one
    (turn|switch) it up     turn it up, switch it up
    {equipment}             a slot, read by the reader of that name
    {reps+per_side:count}   one reading by `count` that fills two slots
    {_:part}                a reading that fills no slot
    <amount>                a named piece, defined beside the templates

Groups nest. `(…)` needs one of its alternatives, `[…]` may be left out.

>>> [" ".join(map(str, line)) for line in flat(parse("next [one|set]"))]
['next', 'next one', 'next set']
>>> [" ".join(map(str, line)) for line in flat(parse("log <n>"))]
['log <n>']
>>> [" ".join(map(str, line)) for line in flat(parse("log <n>"), {"n": parse("{reps} reps")})]
['log {reps} reps']
>>> parse("next [one")
Traceback (most recent call last):
    ...
intents.template.TemplateError: template 'next [one': the '[' is never closed; add ']'
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import product


class TemplateError(ValueError):
    """A template is not well formed; the text says which, what is wrong and how to mend it."""


@dataclass(frozen=True)
class Word:
    text: str

    def __str__(self) -> str:
        return self.text


@dataclass(frozen=True)
class Slot:
    """A value that is read from the text by `reader` and fills every slot in `names`."""

    names: tuple[str, ...]
    reader: str

    def __str__(self) -> str:
        return "{" + "+".join(self.names) + "}"


@dataclass(frozen=True)
class Piece:
    """A reference to a named piece."""

    name: str

    def __str__(self) -> str:
        return f"<{self.name}>"


@dataclass(frozen=True)
class Sequence:
    items: tuple[Node, ...]


@dataclass(frozen=True)
class Choice:
    """One of the options; `optional` where none of them is as good."""

    options: tuple[Node, ...]
    optional: bool = False


Node = Word | Slot | Piece | Sequence | Choice
Line = tuple[Word | Slot | Piece, ...]
"""A template with every choice made; pieces are left out where they were filled in."""

_TOKEN = re.compile(r"\s+|[()\[\]|]|\{([a-z_+:]+)\}|<([a-z_]+)>|([^\s()\[\]|{}<>]+)|(.)")
_CLOSER = {"(": ")", "[": "]"}


def parse(text: str) -> Node:
    """Read a template. Raises TemplateError."""
    tokens = [match for match in _TOKEN.finditer(text) if not match.group().isspace()]
    node, end = _options(text, tokens, 0, None)
    if end < len(tokens):
        raise _wrong(text, f"the {tokens[end].group()!r} closes nothing; take it out")
    return node


def _options(
    text: str, tokens: list[re.Match[str]], at: int, opener: str | None
) -> tuple[Node, int]:
    options: list[Node] = []
    items: list[Node] = []

    def close_option() -> None:
        if not items:
            raise _wrong(text, "an alternative is empty; write something in it, or use [ ]")
        options.append(items[0] if len(items) == 1 else Sequence(tuple(items)))
        items.clear()

    while at < len(tokens):
        token = tokens[at].group()
        slot, piece, word, stray = tokens[at].groups()
        if stray:
            raise _wrong(text, f"{stray!r} can not stand there; write {{slot}} or <piece>")
        if token in _CLOSER:
            inner, at = _options(text, tokens, at + 1, token)
            if at >= len(tokens) or tokens[at].group() != _CLOSER[token]:
                raise _wrong(text, f"the {token!r} is never closed; add {_CLOSER[token]!r}")
            if token == "[":
                inner = Choice(inner.options if isinstance(inner, Choice) else (inner,), True)
            items.append(inner)
        elif token in (")", "]"):
            break
        elif token == "|":
            close_option()
        elif slot:
            names, _, reader = slot.partition(":")
            items.append(Slot(tuple(names.split("+")), reader or names.split("+")[0]))
        elif piece:
            items.append(Piece(piece))
        else:
            items.extend(Word(part) for part in re.split(r"-+", word.lower()) if part)
        at += 1
    close_option()
    return (options[0] if len(options) == 1 else Choice(tuple(options))), at


def names(node: Node) -> Iterator[str]:
    """The pieces that a template refers to."""
    match node:
        case Piece(name):
            yield name
        case Choice(parts, _) | Sequence(parts):
            for part in parts:
                yield from names(part)


def readers_in(node: Node, pieces: Mapping[str, Node]) -> frozenset[str]:
    """The readers that a template names, itself or in a piece that there is."""
    match node:
        case Slot(_, reader):
            return frozenset({reader})
        case Piece(name):
            return readers_in(pieces[name], pieces) if name in pieces else frozenset()
        case Choice(parts, _) | Sequence(parts):
            return frozenset().union(*(readers_in(part, pieces) for part in parts))
    return frozenset()


def _wrong(text: str, what: str) -> TemplateError:
    return TemplateError(f"template {text!r}: {what}")


def flat(node: Node, pieces: Mapping[str, Node] | None = None) -> Iterator[Line]:
    """Every way through a template, with pieces filled in where they are given."""
    match node:
        case Word() | Slot():
            yield (node,)
        case Piece(name):
            if pieces is None:
                yield (node,)
            else:
                yield from flat(pieces[name], pieces)
        case Choice(options, optional):
            if optional:
                yield ()
            for option in options:
                yield from flat(option, pieces)
        case Sequence(items):
            for parts in product(*(tuple(flat(item, pieces)) for item in items)):
                yield tuple(word for part in parts for word in part)
