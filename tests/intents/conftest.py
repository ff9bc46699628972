"""One English understander for all tests of this folder: making it takes a second."""

from __future__ import annotations

import pytest

from assistant.language import phrases as phrases_of
from intents.phrases import Phrases
from intents.understand import Understander
from intents.vocabulary import Vocabulary, vocabulary_of


@pytest.fixture(scope="session")
def phrases() -> Phrases:
    return phrases_of("en")


@pytest.fixture(scope="session")
def vocabulary(phrases: Phrases) -> Vocabulary:
    return vocabulary_of(None, phrases.words)


@pytest.fixture(scope="session")
def understander(phrases: Phrases, vocabulary: Vocabulary) -> Understander:
    return Understander(phrases, vocabulary)
