"""What a session needs to speak and to understand in one language, put together once."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache

from assistant.errors import InputError
from assistant.language import language_text, phrases
from catalogue.model import Catalogue
from intents.grammar import Grammar, make_grammar
from intents.lines import Line, LineError, Lines
from intents.meaning import Understanding
from intents.scope import Scope
from intents.understand import Understander
from intents.vocabulary import vocabulary_of


@cache
def lines_of(language: str) -> Lines:
    """The coach's lines in a language, read once. Raises InputError where they are wrong."""
    try:
        return Lines.load(language_text(language, "lines"), language_text(language, "reasons"))
    except LineError as error:
        raise InputError(f"The lines of language {language!r} are wrong: {error}.") from None


@dataclass
class Coach:
    """Renders lines, and understands words in a scope."""

    lines: Lines
    understander: Understander
    _grammars: dict[Scope, Grammar] = field(default_factory=dict)

    @classmethod
    def of(cls, catalogue: Catalogue, language: str) -> Coach:
        """Raises InputError where the language's data is missing or wrong."""
        spoken = phrases(language)
        understander = Understander(spoken, vocabulary_of(catalogue, spoken.words))
        return cls(lines_of(language), understander)

    def render(self, line: Line) -> str:
        """The line's text."""
        return self.lines.render(line)

    def understand(self, text: str, scope: Scope, confidence: float = 1.0) -> Understanding:
        return self.understander.understand(text, scope, confidence)

    def grammar(self, scope: Scope) -> Grammar:
        """The grammar of a scope, made once."""
        if scope not in self._grammars:
            self._grammars[scope] = make_grammar(
                self.understander.phrases, self.understander.vocabulary, scope
            )
        return self._grammars[scope]
