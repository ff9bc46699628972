"""Whatever there is, and whatever shape of data there is, ends in an error to read or is taken."""

from __future__ import annotations

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.record.codec import VERSIONS
from tests.fuzz.targets import TARGETS

SLOW = {"record", "phrases"}

ANYTHING = st.one_of(st.binary(max_size=300), st.text(max_size=200).map(str.encode))

VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=9), inner),
    max_leaves=8,
)

FIELDS = st.sampled_from(
    ["at", "text", "meanings", "confidence", "decision", "began", "typed", "set_id", "movement",
     "number", "side", "target", "source", "seconds", "reps", "how", "next_time", "part", "level"]
)  # fmt: skip

ENTRIES = st.builds(
    lambda kind, version, more: json.dumps({"kind": kind, "v": version, **more}),
    st.sampled_from(sorted(VERSIONS)),
    st.sampled_from([1, 1, 1, 2, 0, "1"]),
    st.dictionaries(FIELDS, VALUES, max_size=10),
)

TOML_KEYS = st.sampled_from(
    ["athlete", "equipment", "minutes", "space", "volume", "rate", "voice", "language", "levels",
     "units", "detail", "id", "name", "movement", "skill"]
)  # fmt: skip

TABLES = st.dictionaries(
    TOML_KEYS, st.integers() | st.booleans() | st.lists(st.text(max_size=5)) | st.text(max_size=30)
).map(lambda table: "".join(f"{key} = {json.dumps(value)}\n" for key, value in table.items()))


@pytest.mark.parametrize("name", sorted(TARGETS.keys() - SLOW))
@settings(max_examples=25, deadline=10_000, derandomize=True)
@given(data=ANYTHING)
def test_anything(name: str, data: bytes) -> None:
    TARGETS[name].run(data)


@settings(max_examples=100, deadline=10_000, derandomize=True)
@given(text=ENTRIES)
def test_entries_of_any_shape(text: str) -> None:
    TARGETS["entry"].run(text.encode())


@settings(max_examples=60, deadline=10_000, derandomize=True)
@given(value=VALUES, version=st.sampled_from([1, 2]))
def test_exports_of_any_shape(value: object, version: int) -> None:
    whole = {"format": "cuewalk-export", "version": version, "sessions": [value]}
    TARGETS["export"].run(json.dumps(whole).encode())


@pytest.mark.parametrize("name", ["catalogue", "profile"])
@settings(max_examples=60, deadline=10_000, derandomize=True)
@given(text=TABLES)
def test_tables_of_any_shape(name: str, text: str) -> None:
    TARGETS[name].run(text.encode("utf-8", "replace"))
