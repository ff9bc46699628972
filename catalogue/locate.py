"""On which line of a TOML text a key stands.

>>> lines = Lines('name = "x"\\n\\n[[movement]]\\nid = "a"\\nlinks = { regress = "b" }\\n')
>>> lines.of(("movement", 0, "links", "regress"))
5
>>> lines.of(("movement", 0, "skill"))  # not there: the nearest thing round it
3
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from functools import cached_property

import tree_sitter_toml
from tree_sitter import Language, Node, Parser

from catalogue.problems import Path

DEPTH = 8
"""Keys below this depth are not told apart; a catalogue needs half of it."""

_LANGUAGE = Language(tree_sitter_toml.language())
_KEYS = frozenset({"bare_key", "quoted_key", "dotted_key"})


class Lines:
    """The lines of one text. It is parsed when a line is first asked for."""

    def __init__(self, text: str) -> None:
        self._text = text

    def of(self, path: Path) -> int:
        """The line, from 1, of the key at `path` or of the nearest thing that encloses it."""
        for length in range(min(len(path), DEPTH), 0, -1):
            line = self._found.get(path[:length])
            if line is not None:
                return line
        return 1

    @cached_property
    def _found(self) -> dict[Path, int]:
        source = self._text.encode("utf-8", "replace")
        found: dict[Path, int] = {}
        for path, node in _walk(Parser(_LANGUAGE).parse(source).root_node):
            found.setdefault(path, node.start_point.row + 1)
        return found


def _walk(root: Node) -> Iterator[tuple[Path, Node]]:
    """Every path in the document with the node that it begins at; no recursion."""
    counts: dict[Path, int] = {}
    stack: list[tuple[Path, Node]] = []
    for child in root.named_children:
        if child.type == "pair":
            stack.append(((), child))
        elif child.type in ("table", "table_array_element"):
            header = next((node for node in child.named_children if node.type in _KEYS), None)
            if header is None:
                continue
            path = _absolute(_key(header), counts, child.type == "table_array_element")
            yield path, child
            if path and isinstance(path[-1], int):
                yield path[:-1], child  # the list as a whole: where its first entry is
            stack.extend((path, node) for node in child.named_children if node.type == "pair")
    while stack:
        path, node = stack.pop()
        if node.type == "pair":
            if len(node.named_children) < 2 or node.named_children[0].type not in _KEYS:
                continue
            path = (*path, *_key(node.named_children[0]))[:DEPTH]
            yield path, node
            node = node.named_children[-1]
        else:
            yield path, node
        if len(path) >= DEPTH:
            continue
        inside = [child for child in node.named_children if child.type != "comment"]
        if node.type == "inline_table":
            stack.extend((path, child) for child in inside)
        elif node.type == "array":
            stack.extend(((*path, index), child) for index, child in enumerate(inside))


def _absolute(key: Path, counts: dict[Path, int], array: bool) -> Path:
    """The path of a header: a name of an array of tables stands for its last element."""
    path: Path = ()
    for place, part in enumerate(key[:DEPTH]):
        path = (*path, part)
        last = place == len(key) - 1
        if last and array:
            counts[path] = counts.get(path, 0) + 1
        if path in counts:
            path = (*path, counts[path] - 1)
    return path


def _key(node: Node) -> Path:
    """The parts of a key, bare, quoted or dotted."""
    parts: list[str] = []
    while node.type == "dotted_key":
        # The grammar nests to the left: a.b.c is ((a.b).c).
        first, second = node.named_children[0], node.named_children[-1]
        parts.append(_name(second))
        node = first
    parts.append(_name(node))
    return tuple(reversed(parts))


def _name(node: Node) -> str:
    text = (node.text or b"").decode("utf-8", "replace")
    if node.type == "quoted_key":
        try:
            return str(tomllib.loads(f"x = {text}")["x"])
        except tomllib.TOMLDecodeError:
            return text
    return text
