"""Phrases sorted by their first words, so that matching costs the length of what was said.

Edges are words, or readers that take one value from the text. A leaf is whatever the owner put at
the end of a phrase.

>>> trie = Trie()
>>> trie.add((Word("turn"), Word("it"), Word("up")), "louder")
>>> [(end, leaves) for end, leaves, _ in trie.walk(("turn", "it", "up", "now"), 0, Kit())]
[(3, ['louder'])]
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Generic, Protocol, TypeVar

from intents.meaning import SlotValue
from intents.template import Line, Piece, Slot, Word

Leaf = TypeVar("Leaf")
Tokens = tuple[str, ...]
Values = tuple[tuple[Slot, SlotValue], ...]
"""Slots in the order in which they were read."""


class Reader(Protocol):
    """Reads one value from tokens."""

    def read(self, tokens: Tokens, at: int) -> Iterable[tuple[int, SlotValue]]:
        """Every value that begins at `at`, with the position behind it."""

    def open(self, tokens: Tokens, at: int) -> bool:
        """Whether everything from `at` to the end of the tokens may be the start of a value."""


@dataclass(frozen=True)
class Kit:
    """What a walk needs beside the trie: the readers of slots and the phrases of pieces."""

    readers: Mapping[str, Reader] = field(default_factory=dict)
    pieces: Mapping[str, Trie[None]] = field(default_factory=dict)


class Trie(Generic[Leaf]):
    def __init__(self) -> None:
        self.words: dict[str, Trie[Leaf]] = {}
        self.slots: dict[Slot, Trie[Leaf]] = {}
        self.pieces: dict[str, Trie[Leaf]] = {}
        self.leaves: list[Leaf] = []

    def add(self, line: Line, leaf: Leaf) -> None:
        """Put a phrase in."""
        here = self
        for item in line:
            match item:
                case Word(text):
                    here = here.words.setdefault(text, Trie())
                case Slot():
                    here = here.slots.setdefault(item, Trie())
                case Piece(name):
                    here = here.pieces.setdefault(name, Trie())
        here.leaves.append(leaf)

    def walk(
        self, tokens: Tokens, at: int, kit: Kit, values: Values = ()
    ) -> Iterator[tuple[int, list[Leaf], Values]]:
        """Every phrase that begins at `at`: the position behind it, its leaves, what was read."""
        if self.leaves:
            yield at, self.leaves, values
        if at >= len(tokens):
            return
        step = self.words.get(tokens[at])
        if step is not None:
            yield from step.walk(tokens, at + 1, kit, values)
        for slot, child in self.slots.items():
            for end, value in kit.readers[slot.reader].read(tokens, at):
                yield from child.walk(tokens, end, kit, (*values, (slot, value)))
        for name, child in self.pieces.items():
            for end, _, inner in kit.pieces[name].walk(tokens, at, kit, values):
                yield from child.walk(tokens, end, kit, inner)

    def beyond(self, tokens: Tokens, at: int, kit: Kit) -> Iterator[Leaf]:
        """Leaves of the phrases that begin at `at`, hold all tokens from there, and go on."""
        if at >= len(tokens):
            for child in self._children():
                yield from child.below()
            return
        step = self.words.get(tokens[at])
        if step is not None:
            yield from step.beyond(tokens, at + 1, kit)
        for slot, child in self.slots.items():
            reader = kit.readers[slot.reader]
            if reader.open(tokens, at):
                yield from child.below()
            for end, _ in reader.read(tokens, at):
                yield from child.beyond(tokens, end, kit)
        for name, child in self.pieces.items():
            piece = kit.pieces[name]
            if next(piece.beyond(tokens, at, kit), self) is not self:
                yield from child.below()
            for end, _, _ in piece.walk(tokens, at, kit):
                yield from child.beyond(tokens, end, kit)

    def below(self) -> Iterator[Leaf]:
        """Every leaf here and further on."""
        yield from self.leaves
        for child in self._children():
            yield from child.below()

    def _children(self) -> Iterator[Trie[Leaf]]:
        yield from self.words.values()
        yield from self.slots.values()
        yield from self.pieces.values()


class FormReader:
    """A reader of fixed forms: token sequences, each with its value."""

    def __init__(self, forms: Iterable[tuple[Tokens, SlotValue]]) -> None:
        self._root: Trie[SlotValue] = Trie()
        for tokens, value in forms:
            self._root.add(tuple(Word(token) for token in tokens), value)

    def read(self, tokens: Tokens, at: int) -> Iterable[tuple[int, SlotValue]]:
        here = self._root
        found: list[tuple[int, SlotValue]] = []
        for position in range(at, len(tokens)):
            child = here.words.get(tokens[position])
            if child is None:
                break
            here = child
            found.extend((position + 1, value) for value in here.leaves)
        return found

    def open(self, tokens: Tokens, at: int) -> bool:
        here: Trie[SlotValue] | None = self._root
        for token in tokens[at:]:
            here = here.words.get(token) if here else None
        return here is not None and bool(here.words)
