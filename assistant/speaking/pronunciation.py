"""Respellings, so that the words of the trade are spoken right: data, one TOML file a language.

>>> table = Pronunciation({"rpe": "R P E", "l-sit": "ell sit"}, {"s": ("second", "seconds")})
>>> table.respelled("RPE after the L-sit of 1 s and 30s: seven.")
'R P E after the ell sit of 1 second and 30 seconds: seven.'
"""

from __future__ import annotations

import hashlib
import re
import tomllib
from collections.abc import Iterable, Mapping
from importlib import resources

from pydantic import BaseModel, ConfigDict, ValidationError

from assistant.errors import SpeakingError

Units = Mapping[str, tuple[str, str]]
"""A unit as it is written behind a number, and as it is said for one and for more."""


class Pronunciation:
    """A table from written words or phrases to what a voice is given; case does not matter."""

    def __init__(self, respellings: Mapping[str, str], units: Units | None = None) -> None:
        self._respellings = {word.casefold(): said for word, said in respellings.items()}
        self._units = dict(units or {})
        self._words = re.compile(rf"(?<!\w){_any_of(self._respellings)}(?!\w)", re.IGNORECASE)
        # No ignoring of case here: m is a metre, M is none.
        self._numbers = re.compile(rf"(?<![\w.])(\d+(?:\.\d+)?) ?({_any_of(self._units)})(?!\w)")
        told = repr((sorted(self._respellings.items()), sorted(self._units.items())))
        self.digest = hashlib.blake2b(told.encode(), digest_size=8).hexdigest()
        """Changes with the table, so that what was rendered with another is not used."""

    def respelled(self, text: str) -> str:
        """The text as it is given to a voice; captions keep the written one."""
        spoken = self._numbers.sub(self._unit, text)
        return self._words.sub(lambda found: self._respellings[found[0].casefold()], spoken)

    def _unit(self, found: re.Match[str]) -> str:
        one, more = self._units[found[2]]
        return f"{found[1]} {one if float(found[1]) == 1 else more}"


def for_language(language: str, engine: str = "") -> Pronunciation:
    """The project's table for a language, with what is for this engine alone (espeak, natural).

    An empty one where the project has none. Raises SpeakingError where the file is damaged.
    """
    file = resources.files("assistant.speaking") / "data" / f"{language}.toml"
    try:
        table = _Table.model_validate(tomllib.loads(file.read_text(encoding="utf-8")))
    except FileNotFoundError:
        return Pronunciation({})
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, ValidationError) as why:
        raise SpeakingError(
            f"The pronunciations in {file} can not be read ({str(why).splitlines()[0]}); install "
            "the program again."
        ) from why
    own = {"espeak": table.espeak, "natural": table.natural}.get(engine, {})
    return Pronunciation(table.respell | own, table.units)


class _Table(BaseModel):
    model_config = ConfigDict(extra="forbid")

    respell: dict[str, str] = {}
    units: dict[str, tuple[str, str]] = {}
    espeak: dict[str, str] = {}
    natural: dict[str, str] = {}


def _any_of(words: Iterable[str]) -> str:
    """A pattern for one of these, the longest first, so that a phrase wins over a word in it."""
    longest = sorted(words, key=len, reverse=True)
    return f"(?:{'|'.join(map(re.escape, longest))})" if longest else r"(?!)"
