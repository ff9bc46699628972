"""From what was heard or typed to tokens: case, punctuation, contractions and spellings.

>>> Speller({"don't": "do not", "ok": "okay"}).tokens("OK, I DON\u2019T -- 45s!")
('okay', 'i', 'do', 'not', '45', 's')

In a language whose writers put spaces as they like (Korean, Japanese), every syllable is a token,
so that spaces carry no meaning.

>>> Speller({}, spaced=False).tokens("다음운동 45초")
('다', '음', '운', '동', '45', '초')
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection, Mapping, Sequence

from pydantic import BaseModel, ConfigDict

_QUOTES = str.maketrans({"\u2018": "'", "\u2019": "'", "\u02bc": "'", "`": "'"})
_TOKEN = re.compile(r"\d+:\d\d|\d+|[^\W\d_]+(?:'[^\W\d_]+)*")
_INITIALS = re.compile(r"\b(?:[^\W\d_]\.){2,}")


class Speller:
    """Brings spellings to one form.

    `same` maps a written form (one or more words) to the form that templates use, both of them
    as they are written: contractions to their long form, other spellings, abbreviations. `symbols`
    are written signs that are read as words, `hesitations` words that are left out. Without
    `spaced` the tokens are single letters (syllables, where a script writes those) and figures.
    Punctuation and case carry no meaning; hyphens part words; digits part from letters.
    """

    def __init__(
        self,
        same: Mapping[str, str],
        symbols: Mapping[str, str] | None = None,
        hesitations: Collection[str] = (),
        spaced: bool = True,
    ) -> None:
        self._hesitations = frozenset(hesitations)
        self._spaced = spaced
        self._symbols = str.maketrans({k: f" {v} " for k, v in (symbols or {}).items()})
        self._same: dict[str, list[tuple[tuple[str, ...], tuple[str, ...]]]] = {}
        for written, meant in same.items():
            key = self.parted(self._split(written))
            self._same.setdefault(key[0], []).append((key, self.parted(self._split(meant))))
        for choices in self._same.values():
            choices.sort(key=lambda choice: -len(choice[0]))

    def _split(self, text: str) -> tuple[str, ...]:
        plain = unicodedata.normalize("NFKC", text).translate(_QUOTES).lower()
        plain = plain.translate(self._symbols)
        plain = _INITIALS.sub(lambda found: found.group().replace(".", " "), plain)
        return tuple(_TOKEN.findall(plain))

    def tokens(self, text: str) -> tuple[str, ...]:
        """The tokens of a text in their one form."""
        return self.fold(tuple(w for w in self._split(text) if w not in self._hesitations))

    def parted(self, words: tuple[str, ...]) -> tuple[str, ...]:
        """Words as tokens: the same, or their letters where spaces carry no meaning."""
        if self._spaced:
            return words
        return tuple(
            token for word in words for token in ((word,) if word[0].isdigit() else tuple(word))
        )

    def fold(self, words: tuple[str, ...]) -> tuple[str, ...]:
        """Words as tokens in their one form."""
        tokens, same = self.parted(words), self._same
        if not any(token in same for token in tokens):
            return tokens
        out: list[str] = []
        at = 0
        while at < len(tokens):
            for key, meant in same.get(tokens[at], ()):
                if tokens[at : at + len(key)] == key:
                    out.extend(meant)
                    at += len(key)
                    break
            else:
                out.append(tokens[at])
                at += 1
        return tuple(out)


class Plural(BaseModel):
    """A word's ending and what replaces it in the plural."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    ends: str
    becomes: str


class WordData(BaseModel):
    """The small words of a language; the language's words file tells what each is for."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    spaced: bool = True
    hesitations: tuple[str, ...]
    lead: tuple[str, ...]
    tail: tuple[str, ...]
    between: tuple[str, ...]
    spoken_lead: tuple[str, ...]
    spoken_tail: tuple[str, ...]
    spoken_between: tuple[str, ...]
    determiners: tuple[str, ...]
    particles: tuple[str, ...] = ()
    spoken_determiners: dict[str, tuple[str, ...]]
    rare_names: frozenset[str]
    sides: tuple[str, ...]
    small: frozenset[str]
    negations: frozenset[str]
    turning: frozenset[str]
    turning_back: frozenset[str] = frozenset()
    elsewhere: frozenset[str]
    own: frozenset[str]
    plurals: tuple[Plural, ...]
    same: dict[str, str]
    symbols: dict[str, str]
    contractions: dict[str, str]
    parts: dict[str, tuple[str, ...]]
    irregular: dict[str, str]
    equipment: dict[str, tuple[str, ...]]

    def speller(self) -> Speller:
        """What brings this language's spellings to one form."""
        return Speller(self.same, self.symbols, self.hesitations, self.spaced)

    def plural(self, name: str) -> str:
        """More than one of a thing, by its last word."""
        if name in self.irregular:
            return self.irregular[name]
        for ending in self.plurals:
            if name.endswith(ending.ends):
                return name[: len(name) - len(ending.ends)] + ending.becomes
        return name

    def run_together(self, words: Sequence[str]) -> list[str]:
        """Words of a template with two said as one where that is usual.

        Each word is joined with the one before it at most, as in "do not" and "don't".
        """
        out: list[str] = []
        for word in words:
            pair = f"{out[-1]} {word}" if out else ""
            if pair in self.contractions:
                out[-1] = self.contractions[pair]
            else:
                out.append(word)
        return out
