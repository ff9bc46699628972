"""The coach's own catalogue texts, heard as if an athlete had said them, mean nothing."""

from __future__ import annotations

import re

import pytest

from assistant.coach import Coach
from assistant.files import builtin_catalogue
from catalogue.spoken import spoken_texts

CLAUSES = sorted(
    {
        (kind, owner, clause.strip())
        for kind, owner, _, text in spoken_texts(builtin_catalogue())
        for clause in (text, *re.split(r"[.,:;]", text))
        if clause.strip()
    }
)


@pytest.fixture(scope="module")
def coach() -> Coach:
    return Coach.of(builtin_catalogue(), "en")


def test_there_is_much_to_say() -> None:
    assert len(CLAUSES) > 1_000


def test_no_clause_between_two_breaths_is_a_command(coach: Coach) -> None:
    """A recogniser cuts at the pauses of the voice, which are at the signs."""
    meant = [
        (owner, clause, [meaning.id for meaning in understood.meanings])
        for _, owner, clause in CLAUSES
        for understood in [coach.understander.understand(clause)]
        if understood.decision != "pass"
    ]
    assert meant == []
