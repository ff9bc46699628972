"""Languages: the texts of their data files, read once."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from assistant.errors import InputError
from catalogue.model import Catalogue
from intents.phrase_list import Group, PhraseListData, markdown
from intents.phrases import Phrases
from intents.understand import Understander
from intents.vocabulary import vocabulary_of


@cache
def languages() -> tuple[str, ...]:
    """Codes of the languages that the package has data for."""
    root = files("intents") / "data"
    return tuple(sorted(entry.name for entry in root.iterdir() if entry.is_dir()))


def check_language(code: str) -> None:
    """Raises InputError, with the languages that there are, where this is none of them."""
    if code not in languages():
        known = ", ".join(languages())
        raise InputError(f"There is no language {code!r}; use one of: {known}.")


@cache
def language_text(code: str, name: str) -> str:
    """The text of a language's data file, such as `("en", "phrases")`. Raises InputError."""
    check_language(code)
    return (files("intents") / "data" / code / f"{name}.toml").read_text(encoding="utf-8")


@cache
def phrases(code: str = "en") -> Phrases:
    """What can be said in a language. Raises InputError."""
    texts = [language_text(code, name) for name in ("phrases", "numbers", "words")]
    try:
        return Phrases.read(*texts)
    except ValueError as error:
        why = " ".join(str(error).split())
        raise InputError(f"The phrases of language {code!r} are wrong: {why}.") from None


def phrase_list(catalogue: Catalogue, code: str) -> str:
    """What can be said in a language, as Markdown, with a catalogue's equipment by its names.

    Raises InputError for a language that is not there.
    """
    spoken = phrases(code)
    groups = (files("intents") / "data" / "phrase_groups.toml").read_text(encoding="utf-8")
    data = PhraseListData.read(language_text(code, "phrase_list"))
    names = vocabulary_of(catalogue, spoken.words)
    return markdown(Group.read_all(groups), data, spoken, names)


def understander(catalogue: Catalogue | None, code: str = "en") -> Understander:
    """An understander of a language for a catalogue's equipment. Raises InputError."""
    spoken = phrases(code)
    return Understander(spoken, vocabulary_of(catalogue, spoken.words))
