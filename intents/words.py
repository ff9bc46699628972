"""From what was heard or typed to tokens: case, punctuation, contractions and spellings.

>>> Speller({"don't": "do not", "ok": "okay"}).tokens("OK, I DON\u2019T -- 45s!")
('okay', 'i', 'do', 'not', '45', 's')
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping

from pydantic import BaseModel, ConfigDict

_QUOTES = str.maketrans({"\u2018": "'", "\u2019": "'", "\u02bc": "'", "`": "'"})
_TOKEN = re.compile(r"\d+:\d\d|\d+|[^\W\d_]+(?:'[^\W\d_]+)*")
_INITIALS = re.compile(r"\b(?:[^\W\d_]\.){2,}")


class Speller:
    """Brings spellings to one form.

    `same` maps a written form (one or more words) to the form that templates use, both of them
    as they are written: contractions to their long form, other spellings, abbreviations. `symbols`
    are written signs that are read as words.
    Punctuation and case carry no meaning; hyphens part words; digits part from letters.
    """

    def __init__(self, same: Mapping[str, str], symbols: Mapping[str, str] | None = None) -> None:
        self._symbols = str.maketrans({k: f" {v} " for k, v in (symbols or {}).items()})
        self._same: dict[str, list[tuple[tuple[str, ...], tuple[str, ...]]]] = {}
        for written, meant in same.items():
            key = self._split(written)
            self._same.setdefault(key[0], []).append((key, self._split(meant)))
        for choices in self._same.values():
            choices.sort(key=lambda choice: -len(choice[0]))

    def _split(self, text: str) -> tuple[str, ...]:
        plain = unicodedata.normalize("NFKC", text).translate(_QUOTES).lower()
        plain = plain.translate(self._symbols)
        plain = _INITIALS.sub(lambda found: found.group().replace(".", " "), plain)
        return tuple(_TOKEN.findall(plain))

    def tokens(self, text: str) -> tuple[str, ...]:
        """The words of a text in their one form."""
        return self.fold(self._split(text))

    def fold(self, tokens: tuple[str, ...]) -> tuple[str, ...]:
        """Tokens brought to their one form."""
        same = self._same
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

    hesitations: tuple[str, ...]
    lead: tuple[str, ...]
    tail: tuple[str, ...]
    between: tuple[str, ...]
    spoken_lead: tuple[str, ...]
    spoken_tail: tuple[str, ...]
    spoken_between: tuple[str, ...]
    determiners: tuple[str, ...]
    spoken_determiners: dict[str, tuple[str, ...]]
    rare_names: frozenset[str]
    sides: tuple[str, ...]
    small: frozenset[str]
    negations: frozenset[str]
    turning: frozenset[str]
    elsewhere: frozenset[str]
    own: frozenset[str]
    plurals: tuple[Plural, ...]
    same: dict[str, str]
    symbols: dict[str, str]
    contractions: dict[str, str]
    parts: dict[str, tuple[str, ...]]
    irregular: dict[str, str]
    equipment: dict[str, tuple[str, ...]]

    def plural(self, name: str) -> str:
        """More than one of a thing, by its last word."""
        if name in self.irregular:
            return self.irregular[name]
        for ending in self.plurals:
            if name.endswith(ending.ends):
                return name[: len(name) - len(ending.ends)] + ending.becomes
        return name
