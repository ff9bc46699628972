"""What a recogniser is told to listen for, made from the same templates that match text."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Grammar:
    """One scope's grammar for every engine.

    `jsgf` is a complete JSGF document (one public rule) for engines with a strict grammar;
    `phrases` is a list of phrases that spans it for engines that build a model of phrases;
    `words` are all words that occur, lower case.
    """

    name: str
    jsgf: str
    phrases: tuple[str, ...]
    words: frozenset[str]
