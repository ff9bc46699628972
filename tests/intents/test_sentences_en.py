"""The table of English sentences, each understood as it says."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from intents.meaning import Meaning
from intents.scope import EVERYTHING, Scope
from intents.understand import Understander

TABLE = Path(__file__).with_name("sentences_en.txt")


@dataclass(frozen=True)
class Case:
    line: int
    sentence: str
    scope: Scope
    decision: str
    meanings: tuple[Meaning, ...]


def _scope(head: str) -> Scope:
    name, _, ids = head.strip("[]").partition(":")
    if name == "everything":
        return EVERYTHING
    kind, _, unit = name.partition(" ")
    bare = frozenset() if kind == "plain" else frozenset({kind})
    return Scope(name, frozenset(ids.split()), bare, unit or "seconds")  # type: ignore[arg-type]


def _meaning(text: str) -> Meaning:
    intent, *slots = text.split()
    pairs = (slot.split("=") for slot in slots)
    return Meaning(intent, {k: int(v) if v.isdigit() else v for k, v in pairs})


def cases(table: Path = TABLE) -> Iterator[Case]:
    scope = EVERYTHING
    for number, line in enumerate(table.read_text(encoding="utf-8").splitlines(), 1):
        if line.startswith("[") and "=>" not in line:
            scope = _scope(line)
        elif "=>" in line and not line.startswith("#"):
            sentence, expected = line.split("=>")
            decision, colon, meanings = expected.partition(":")
            if not colon:
                decision, meanings = "act", expected
            yield Case(
                number,
                sentence.strip(),
                scope,
                decision.strip(),
                tuple(_meaning(text) for text in meanings.split(";")),
            )


ALL = tuple(cases())


def test_the_table_is_large() -> None:
    assert len(ALL) >= 250
    assert sum(case.decision == "pass" for case in ALL) >= 80


@pytest.mark.parametrize("case", ALL, ids=lambda case: f"{case.line}: {case.sentence}")
def test_sentence(understander: Understander, case: Case) -> None:
    understood = understander.understand(case.sentence, case.scope)
    assert (understood.decision, understood.meanings) == (case.decision, case.meanings)
    assert 0 <= understood.confidence <= 1
