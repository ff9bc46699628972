"""Lines of keys, checked against the standard library's own reading of the same files."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

import pytest

from assistant.files import builtin_sources
from catalogue.locate import Lines
from catalogue.problems import Path

TEXT = """\
top = 1
dotted.key = 2
"quoted \\u0041" = 3
'single' = 4

[table]
inner = 5
[table."deep.er"]
x = 6

[[list]]
a = 7  # a comment
nested = [
    # a comment
    { b = 8 },
    { b = 9, c = [
        10,
        11,
    ] },
]
[list.sub]
d = 12
[[list.rows]]
e = 13
[[list.rows]]
e = 14
[[list]]
a = 15
[[list.rows]]
e = 16
"""

PLACES: dict[Path, int] = {
    ("top",): 1,
    ("dotted", "key"): 2,
    ("quoted A",): 3,
    ("single",): 4,
    ("table",): 6,
    ("table", "inner"): 7,
    ("table", "deep.er"): 8,
    ("table", "deep.er", "x"): 9,
    ("list", 0): 11,
    ("list", 0, "a"): 12,
    ("list", 0, "nested"): 13,
    ("list", 0, "nested", 0, "b"): 15,
    ("list", 0, "nested", 1, "b"): 16,
    ("list", 0, "nested", 1, "c", 0): 17,
    ("list", 0, "nested", 1, "c", 1): 18,
    ("list", 0, "sub", "d"): 22,
    ("list", 0, "rows"): 23,
    ("list", 0, "rows", 0, "e"): 24,
    ("list", 0, "rows", 1, "e"): 26,
    ("list", 1): 27,
    ("list", 1, "a"): 28,
    ("list", 1, "rows", 0, "e"): 30,
}


@pytest.mark.parametrize("path", PLACES, ids=str)
def test_every_way_to_write_a_key(path: Path) -> None:
    assert Lines(TEXT).of(path) == PLACES[path]


def test_a_missing_key_is_where_its_table_is() -> None:
    lines = Lines(TEXT)
    assert lines.of(("list", 1, "b", "c")) == 27
    assert lines.of(("list", 1, "rows", 0, "f")) == 29
    assert lines.of(("nowhere",)) == 1
    assert lines.of(()) == 1


def test_broken_text_gives_a_line_all_the_same() -> None:
    for text in ("", "a = ", "[[", "a = [[[", "\x00", "]] = 3\n[x]\ny = 1"):
        assert 1 <= Lines(text).of(("x", "y")) <= 3


def texts(value: Any, path: Path = ()) -> Iterator[tuple[Path, str]]:
    if isinstance(value, str):
        yield path, value
    elif isinstance(value, dict):
        for key, inner in value.items():
            yield from texts(inner, (*path, key))
    elif isinstance(value, list):
        for place, inner in enumerate(value):
            yield from texts(inner, (*path, place))


@pytest.mark.parametrize("file", sorted(builtin_sources()))
def test_every_text_of_the_catalogue_stands_on_its_line(file: str) -> None:
    """Two independent readers of TOML agree: what `tomllib` reads stands where `Lines` says."""
    source = builtin_sources()[file]
    rows, lines = source.split("\n"), Lines(source)
    found = list(texts(tomllib.loads(source)))
    assert found
    for path, text in found:
        assert text in rows[lines.of(path) - 1], (path, text)
