"""Near words, short values, and sentences for what a validator finds."""

from __future__ import annotations

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.model import Equipment, Movement, Profile, Skill
from catalogue.plain import faults, nearest, quoted, suggest


def test_the_nearest_word_is_offered_only_where_it_is_near() -> None:
    known = ["pipe", "wall", "box"]
    assert nearest("Pype", known) == "pipe"
    assert nearest("trampoline", known) is None
    assert nearest("", known) is None
    assert nearest("pipe", []) is None
    assert suggest("wal", known, "take it out") == "did you mean `wall`?"
    assert suggest("zzz", known, "take it out") == "take it out"


def test_values_are_shown_short_and_clean() -> None:
    assert quoted("x") == "`x`"
    assert quoted(True) == "`true`"
    assert quoted("a\x1b[31m\n") == "`a?[31m?`"
    assert len(quoted("x" * 5_000)) < 60
    assert len(quoted({"a": ["x" * 5_000]})) < 60


def test_several_mistakes_in_one_entry_are_all_told() -> None:
    raw: dict[str, Any] = {"id": "B", "nam": "box", "stand_ins": [{"name": "", "conditions": "x"}]}
    assert {fault.path for fault in faults(Equipment, raw)} == {
        ("id",),
        ("nam",),
        ("stand_ins", 0, "name"),
        ("stand_ins", 0, "conditions"),
    }


VALUE = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=9), inner),
    max_leaves=8,
)


@settings(max_examples=300, deadline=None)
@given(
    st.sampled_from([Movement, Equipment, Skill, Profile]).flatmap(
        lambda kind: st.tuples(
            st.just(kind),
            st.dictionaries(st.sampled_from(list(kind.model_fields)), VALUE, max_size=6),
        )
    )
)
def test_every_error_has_a_sentence_of_its_own(case: tuple[type, dict[str, Any]]) -> None:
    kind, raw = case
    for fault in faults(kind, raw):
        assert "does not fit here" not in fault.what, (fault, raw)
        assert fault.mend
        assert str(fault).isprintable()
