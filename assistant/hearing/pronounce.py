"""How a word sounds that the recogniser's dictionary does not hold.

A compound is said like its parts, where the dictionary has them: "kettlebell" like "kettle" and
"bell". Anything else is sounded out by espeak-ng's American English rules, whose sounds are
then written in the phones of the CMU dictionary (`phones.toml`).
"""

from __future__ import annotations

import ctypes
import tomllib
from collections.abc import Callable
from functools import cache
from importlib import resources
from typing import Any, Final

SHORTEST_PART: Final = 3
"""Letters in a part of a compound at least: with two, nearly every word falls into parts."""

_RETRIEVAL, _DO_NOT_EXIT, _UTF8, _AS_IPA = 1, 0x8000, 1, 2


def pronounce(word: str, known: Callable[[str], str | None]) -> str | None:
    """Phones of the CMU set, separated by spaces, or None where the word can not be sounded out.

    `known` gives the phones of a word that the dictionary holds.

    >>> pronounce("wallbar", {"wall": "W AO L", "bar": "B AA R"}.get)
    'W AO L B AA R'
    """
    return compound(word, known) or sounded_out(word)


def compound(word: str, known: Callable[[str], str | None]) -> str | None:
    """The phones of the two words that a compound is made of; the most even split wins."""
    if "-" in word or "'" in word:
        parts = [known(part) for part in word.replace("'", "-").split("-") if part]
        return " ".join(p for p in parts if p) if parts and all(parts) else None
    splits = range(SHORTEST_PART, len(word) - SHORTEST_PART + 1)
    for at in sorted(splits, key=lambda place: abs(2 * place - len(word))):
        first, second = known(word[:at]), known(word[at:])
        if first and second:
            return f"{first} {second}"
    return None


def sounded_out(word: str) -> str | None:
    """What espeak-ng makes of the letters; None without its library or for what is no word."""
    library = _espeak()
    if library is None or not any(c.isalpha() for c in word) or not word.isascii():
        return None
    text = ctypes.c_char_p(word.encode())
    sounds = library.espeak_TextToPhonemes(ctypes.byref(text), _UTF8, _AS_IPA)
    return arpabet(sounds.decode()) if sounds else None


def arpabet(sounds: str) -> str | None:
    """Sounds of the International Phonetic Alphabet as CMU phones; None where one is unknown.

    >>> arpabet("kˈɛɾəlbˌɛl")
    'K EH T AH L B EH L'
    """
    table = _table()
    rest = "".join(c for c in sounds if c not in "ˈˌ _")
    out: list[str] = []
    while rest:
        key = next((k for k in table if rest.startswith(k)), None)
        if key is None:
            return None
        out += table[key].split()
        rest = rest[len(key) :]
    return " ".join(out) or None


@cache
def _table() -> dict[str, str]:
    text = resources.files("assistant.hearing").joinpath("phones.toml").read_text("utf-8")
    table: dict[str, str] = tomllib.loads(text)
    return dict(sorted(table.items(), key=lambda item: -len(item[0])))


@cache
def _espeak() -> Any:
    """The library that comes with espeakng-loader, or None where it can not be loaded."""
    try:
        import espeakng_loader

        library = ctypes.CDLL(espeakng_loader.get_library_path())
        data = espeakng_loader.get_data_path().encode()
    except (ImportError, OSError):
        return None
    if library.espeak_Initialize(_RETRIEVAL, 0, data, _DO_NOT_EXIT) < 0:
        return None
    if library.espeak_SetVoiceByName(b"en-us") != 0:
        return None
    library.espeak_TextToPhonemes.restype = ctypes.c_char_p
    return library
