"""The pieces of text that the Moonshine network writes in, and how it spells the words of a phrase.

The network was trained on written sentences: it writes "I", begins with a capital, puts a comma or
not, a hyphen or not. All spellings of a word are tried; which one it prefers it tells itself.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property
from itertools import pairwise
from pathlib import Path
from typing import Final

from assistant.errors import HearingError

START: Final = 1
END: Final = 2
SPECIAL: Final = 3
"""Pieces with a meaning of their own come first: unknown, start and end of a text."""

COUNT: Final = 32_768
"""Pieces that the network chooses from."""

SPACE: Final = "\u2581"
"""How a space before a word is written in pieces (as SentencePiece does)."""

CAPITAL: Final = {"i": "I", "i'm": "I'm", "i've": "I've", "i'll": "I'll"}
TENS: Final = frozenset(
    ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
)
"""Numbers that a hyphen may follow."""


class Pieces:
    """The pieces by number.

    >>> pieces = Pieces([b"", b"<s>", b"</s>", b"n", b"o", b"no", "\u2581".encode(), b"."])
    >>> pieces.of("\u2581no"), pieces.text([1, 6, 5, 7, 2])
    ((6, 5), 'no.')
    """

    def __init__(self, pieces: Iterable[bytes]) -> None:
        self._pieces = tuple(pieces)
        # Single bytes come twice, first as what stands in for letters that have no piece.
        self._numbers = {piece: number for number, piece in enumerate(self._pieces)}
        self._kept: dict[tuple[str, bool, bool], tuple[tuple[int, ...], ...]] = {}

    @classmethod
    def load(cls, path: Path) -> Pieces:
        """Read the file that comes with the network: each piece behind its length, which takes two
        bytes from 128 on.

        Raises HearingError where the file is not of this form.
        """
        data, at, pieces = path.read_bytes(), 0, []
        try:
            while at < len(data):
                length, at = data[at], at + 1
                if length >= 128:
                    length, at = (length & 127) + 128 * data[at], at + 1
                pieces.append(data[at : at + length])
                at += length
        except IndexError:
            at = -1
        if at != len(data) or len(pieces) != COUNT or pieces[1:SPECIAL] != [b"<s>", b"</s>"]:
            raise HearingError(f"{path} is damaged; install moonshine-voice again.")
        return cls(pieces)

    @cached_property
    def closing(self) -> tuple[int, ...]:
        """What may stand between the last word of a text and its end."""
        return tuple(self._numbers[mark] for mark in (b".", b"?", b"!"))

    @cached_property
    def comma(self) -> int:
        return self._numbers[b","]

    def of(self, text: str) -> tuple[int, ...]:
        """The pieces that a text without spaces is cut into: of two neighbours those are joined
        first whose whole is the more frequent piece (R. Sennrich, B. Haddow and A. Birch, "Neural
        machine translation of rare words with subword units", ACL 2016)."""
        parts = [letter.encode() for letter in text]
        while True:
            pairs = ((a + b, at) for at, (a, b) in enumerate(pairwise(parts)))
            known = [(self._numbers[pair], at) for pair, at in pairs if pair in self._numbers]
            if not known:
                # A letter without a piece of its own can not be heard; 0 stands for the unknown.
                return tuple(self._numbers.get(part, 0) for part in parts)
            _, at = min(known)
            parts[at : at + 2] = [parts[at] + parts[at + 1]]

    def spellings(self, word: str, first: bool, behind: str) -> tuple[tuple[int, ...], ...]:
        """Every way that the network may write a word, as pieces; `first` in the text, or `behind`
        another word."""
        key = (word, first, behind in TENS)
        if key not in self._kept:
            self._kept[key] = tuple(self._spelled(word, first, behind in TENS))
        return self._kept[key]

    def _spelled(self, word: str, first: bool, behind_tens: bool) -> Iterable[tuple[int, ...]]:
        written = CAPITAL.get(word, word)
        texts = {SPACE + written, SPACE + written[0].upper() + written[1:]}
        if not first and len(word) > 1:
            texts = {SPACE + written}
        if len(word) == 1 and not first:
            texts |= {SPACE + word.upper(), word.upper()}
        out = {self.of(text) for text in texts}
        if behind_tens:
            out.add(self.of("-" + word))
        return sorted(out)

    def text(self, pieces: Iterable[int]) -> str:
        """What pieces say.

        Bytes that are no whole letter are shown as such."""
        said = b"".join(self._pieces[piece] for piece in pieces if piece >= SPECIAL)
        return said.decode("utf-8", "replace").replace(SPACE, " ").strip()
