from __future__ import annotations

from intents.phrases import Phrases
from intents.sample import sample
from intents.scope import EVERYTHING, Scope
from intents.vocabulary import Vocabulary


def test_the_same_seed_picks_the_same(phrases: Phrases, vocabulary: Vocabulary) -> None:
    one = sample(phrases, vocabulary, EVERYTHING, seed=1, n=50)
    assert one == sample(phrases, vocabulary, EVERYTHING, seed=1, n=50)
    assert one != sample(phrases, vocabulary, EVERYTHING, seed=2, n=50)


def test_every_intent_in_scope_is_picked_and_no_other(
    phrases: Phrases, vocabulary: Vocabulary
) -> None:
    scope = Scope("x", frozenset({"next", "easier"}))
    picked = {s.intent for s in sample(phrases, vocabulary, scope, seed=1, n=200)}
    assert picked == {"next", "easier", "stop", "pain", "unwell"}


def test_answers_without_a_command_are_picked_where_they_count(
    phrases: Phrases, vocabulary: Vocabulary
) -> None:
    scope = Scope("x", frozenset({"next"}), frozenset({"rpe"}))
    assert "effort" in {s.intent for s in sample(phrases, vocabulary, scope, seed=1, n=100)}
