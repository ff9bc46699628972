"""The sentences of a language, without the means to understand it."""

from __future__ import annotations

from functools import cache

from assistant.errors import InputError
from assistant.language import language_text
from intents.lines import LineError, Lines


@cache
def lines_of(language: str) -> Lines:
    """Lines and reasons of a language. Raises InputError where its data is missing or wrong."""
    try:
        return Lines.load(language_text(language, "lines"), language_text(language, "reasons"))
    except LineError as error:
        raise InputError(f"The lines of language {language!r} are wrong: {error}.") from None
