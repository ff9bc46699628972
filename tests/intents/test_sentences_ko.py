"""The table of Korean sentences, each understood as it says."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.language import understander
from intents.understand import Understander
from tests.intents.test_sentences_en import Case, cases

ALL = tuple(cases(Path(__file__).with_name("sentences_ko.txt")))


@pytest.fixture(scope="module")
def korean() -> Understander:
    return understander(None, "ko")


def test_the_table_is_large() -> None:
    assert len(ALL) >= 150
    assert sum(case.decision == "pass" for case in ALL) >= 15


@pytest.mark.parametrize("case", ALL, ids=lambda case: f"{case.line}: {case.sentence}")
def test_sentence(korean: Understander, case: Case) -> None:
    understood = korean.understand(case.sentence, case.scope)
    assert (understood.decision, understood.meanings) == (case.decision, case.meanings)
