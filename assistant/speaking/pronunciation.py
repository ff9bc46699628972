"""Respellings, so that the words of the trade are spoken right: data, one TOML file a language.

>>> table = Pronunciation({"rpe": "R P E", "l-sit": "ell sit"})
>>> table.respelled("RPE after the L-sit: seven.")
'R P E after the ell sit: seven.'
"""

from __future__ import annotations

import hashlib
import re
import tomllib
from collections.abc import Mapping
from importlib import resources

from assistant.errors import SpeakingError


class Pronunciation:
    """A table from written words or phrases to what a voice is given; case does not matter."""

    def __init__(self, respellings: Mapping[str, str]) -> None:
        self._respellings = {word.casefold(): said for word, said in respellings.items()}
        # The longest first, so that a phrase wins over a word in it.
        words = sorted(self._respellings, key=len, reverse=True)
        self._pattern = re.compile(
            rf"(?<!\w)(?:{'|'.join(map(re.escape, words))})(?!\w)" if words else r"(?!)",
            re.IGNORECASE,
        )
        self.digest = hashlib.blake2b(repr(sorted(self._respellings.items())).encode()).hexdigest()
        """Changes with the table, so that what was rendered with another is not used."""

    def respelled(self, text: str) -> str:
        """The text as it is given to a voice; captions keep the written one."""
        return self._pattern.sub(lambda found: self._respellings[found[0].casefold()], text)


def for_language(language: str) -> Pronunciation:
    """The project's table for a language; an empty one where it has none.

    Raises SpeakingError where the file is damaged.
    """
    file = resources.files("assistant.speaking") / "data" / f"{language}.toml"
    try:
        table = tomllib.loads(file.read_text(encoding="utf-8"))["respell"]
    except FileNotFoundError:
        return Pronunciation({})
    except (tomllib.TOMLDecodeError, KeyError, UnicodeDecodeError) as why:
        raise SpeakingError(
            f"The pronunciations in {file} can not be read ({why}); install the program again."
        ) from why
    return Pronunciation({str(word): str(said) for word, said in table.items()})
