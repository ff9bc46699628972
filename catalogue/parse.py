"""From one file's text to its tables, with every mistake of form named by line.

TOML stops at its first mistake. So that one slip does not hide the others, the block it stands in
(from its `[[header]]` to the next) is set aside and the rest of the file is read on.

>>> read = parse("a.toml", '[[movement]]\\nid = "one"\\nstep = \\n[[movement]]\\nid = "two"\\n')
>>> print(read.problems[0])
a.toml:3: there is no value, or one that TOML does not know; put text in quotes and lists in [ ]
>>> read.tables["movement"], read.set_aside
([{'id': 'two'}], frozenset({('movement', 'one')}))
"""

from __future__ import annotations

import re
import tomllib
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from catalogue.locate import DEPTH, Lines
from catalogue.problems import Path, Problem

BYTES = 1 << 20
"""The largest file that is read."""

WIDTH = 4_000
"""The longest line, in characters."""

RETRIES = 20
"""Mistakes of form that are named in one file before the rest of it is left unread."""

_HEADER = re.compile(r"^\s*\[\[\s*(\w+)\s*\]\]\s*(?:#.*)?$")
_ID = re.compile(r"""^\s*id\s*=\s*["']([^"']*)["']""")
_PLACE = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)$")
_KEY = re.compile(r"\s*[\w.\"'-]+\s*=")
_DOTS = re.compile(r"""(?<![\w-])(?:(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')[ \t]*+\.[ \t]*+){16}""")

_PLAIN: tuple[tuple[str, str, str], ...] = (
    (
        "Invalid value",
        "there is no value, or one that TOML does not know",
        "put text in quotes and lists in [ ]",
    ),
    ("Invalid statement", "this is neither a key nor a header", "write it as key = value"),
    ("Expected '='", "a key has no = after it", "write it as key = value"),
    ("Invalid initial character", "a key is missing or misspelt", "write it as key = value"),
    ("Expected newline", "there is more on the line than one value", "begin a new line for it"),
    ("Unterminated string", "a text has no closing quote", "close it with the quote it began with"),
    ("Expected \"'''\"", "a text has no closing quotes", "close it with ''' as it began"),
    ('Expected \'"""\'', "a text has no closing quotes", 'close it with """ as it began'),
    ("Illegal character '\\n'", "a text is not closed on its line", "add the closing quote"),
    ("Illegal character", "there is a character that TOML forbids", "type the line anew"),
    ("Unescaped '\\' in a string", "a backslash stands alone in a text", "take it out"),
    ("Escaped character", "a text has a character code that does not exist", "take it out"),
    ("Invalid hex", "a text has a character code that does not exist", "take it out"),
    ("Unclosed array", "a list is not closed, or a comma is missing in it", "add the ] or the ,"),
    ("Unclosed inline table", "a { is not closed, or a comma is missing", "add the } or the ,"),
    ("Cannot overwrite", "a key is written twice", "keep one of the two"),
    ("Duplicate inline table key", "a key is written twice in { }", "keep one of the two"),
    ("Cannot declare", "a header is written twice", "write [[...]] for a further entry"),
    ("Cannot mutate", "a key adds to something that is closed", "write it all in one place"),
    ("Cannot redefine", "a key adds to something that is closed", "write it all in one place"),
    ("Expected ']", "a header is not closed", "close it with as many ] as it opens with ["),
    ("Invalid date", "a date does not exist", "take it out, or put it in quotes"),
    ("Found invalid character", "there is a character that TOML forbids", "type the line anew"),
)


@dataclass(frozen=True)
class Parsed:
    """What one file holds.

    `tables` is the TOML document. `set_aside` are kind and id of the entries that stand in a
    block with a mistake of form: known to exist, not known in full.
    """

    file: str
    tables: dict[str, Any]
    lines: Lines
    problems: tuple[Problem, ...]
    set_aside: frozenset[tuple[str, str]]


def parse(file: str, text: str) -> Parsed:
    """Read one text. It never raises: what is wrong stands in `problems`."""
    text = text.removeprefix("\ufeff")  # some editors put a byte order mark first
    refused = _refused(file, text)
    if refused:
        return Parsed(file, {}, Lines(""), (refused,), frozenset())
    rows = text.replace("\r\n", "\n").split("\n")
    problems: list[Problem] = []
    set_aside: set[tuple[str, str]] = set()
    tables: dict[str, Any] = {}
    for _ in range(RETRIES):
        try:
            tables = tomllib.loads("\n".join(rows))
            break
        except RecursionError:
            problems.append(Problem(file, 0, "brackets are nested too deeply", "take some out"))
            return Parsed(file, {}, Lines(""), tuple(problems), frozenset(set_aside))
        except ValueError as error:
            problem, at_end = _plain(file, str(error), rows)
            problems.append(problem)
            set_aside |= _blank(rows, problem.line, to_end=at_end)
    lines = Lines("\n".join(rows))
    problems.extend(_unfit(file, tables, lines))
    return Parsed(file, tables, lines, tuple(problems), frozenset(set_aside))


def _refused(file: str, text: str) -> Problem | None:
    """Why a text is not even tried: its size, or characters that no TOML file may hold."""
    size = len(text.encode("utf-8", "replace"))
    if size > BYTES:
        return Problem(
            file, 0, f"the file has {size:,} bytes, but at most {BYTES:,} are read", "split it"
        )
    for number, row in enumerate(text.split("\n"), 1):
        bad = _forbidden(row.removesuffix("\r"), but="\t")
        if bad:
            return Problem(file, number, f"the line holds {bad}", "take it out")
        if len(row) > WIDTH:
            return Problem(
                file, number, f"the line has more than {WIDTH:,} characters", "break it up"
            )
        if _DOTS.search(row):
            return Problem(file, number, "a key has too many dots", "write it as key = value")
    return None


def _forbidden(text: str, but: str = "") -> str | None:
    """A name for the first character that neither speech nor a screen can show."""
    if text.isascii() and text.isprintable():
        return None
    for char in text:
        if unicodedata.category(char) in ("Cc", "Cf", "Cs", "Zl", "Zp") and char not in but:
            return "a line break" if char in "\n\r" else f"the control character U+{ord(char):04X}"
    return None


def _plain(file: str, message: str, rows: list[str]) -> tuple[Problem, bool]:
    """The library's message in plain words, and whether it met the end of the file."""
    place = _PLACE.search(message)
    at_end = place is not None and place[1] is None
    told = message[: place.start()] if place else message
    line = int(place[1]) if place and place[1] else _opening(rows)
    if told == "Invalid value" and place and place[1]:
        row = rows[line - 1] if line <= len(rows) else ""
        key = _KEY.match(row)
        if key and int(place[2]) <= key.end() - 1:
            # A key where a value was due: the list before it was never closed.
            return Problem(file, line, "a list before this line is not closed", "add the ]"), at_end
    for begin, what, mend in _PLAIN:
        if told.startswith(begin):
            return Problem(file, line, what, mend), at_end
    return Problem(file, line, "this is not valid TOML", "compare it with a line that is"), at_end


def _opening(rows: list[str]) -> int:
    """Where what is still open at the end was opened: its last quotes, or the last line."""
    for number in range(len(rows), 0, -1):
        if '"""' in rows[number - 1] or "'''" in rows[number - 1]:
            return number
    return max((n for n, row in enumerate(rows, 1) if row.strip()), default=1)


def _blank(rows: list[str], line: int, *, to_end: bool) -> set[tuple[str, str]]:
    """Empty the block round `line`; give the kind and id of what stood in it."""
    starts = [n for n, row in enumerate(rows) if _HEADER.match(row)]
    begin = max((n for n in starts if n < line), default=0)
    end = min((n for n in starts if n >= line), default=len(rows))
    if to_end:
        # Something was opened and never closed: nothing from here on can be told apart.
        end = len(rows)
    gone: set[tuple[str, str]] = set()
    kind = None
    for number in range(begin, end):
        header = _HEADER.match(rows[number])
        kind = header[1] if header else kind
        named = _ID.match(rows[number])
        if kind and named:
            gone.add((kind, named[1]))
        rows[number] = ""
    return gone


def _unfit(file: str, tables: dict[str, Any], lines: Lines) -> Iterator[Problem]:
    """Values nested too deeply (they are emptied), and texts with control characters."""
    stack: list[tuple[Path, Any]] = [((), tables)]
    while stack:
        path, value = stack.pop()
        if isinstance(value, str):
            bad = _forbidden(value)
            if bad:
                yield Problem(
                    file, lines.of(path), f"the text holds {bad}", "write it on one line, in words"
                )
        if not isinstance(value, dict | list):
            continue
        if len(path) == DEPTH:
            yield Problem(file, lines.of(path), "values are nested too deeply", "take some out")
            value.clear()
        elif isinstance(value, dict):
            stack.extend(((*path, key), inner) for key, inner in value.items())
        else:
            stack.extend(((*path, index), inner) for index, inner in enumerate(value))
