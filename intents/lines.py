"""The coach's own lines: templates in a language's data, filled with values.

A line's text may hold `{name}`, or `{name|way}` where `way` is `duration` (seconds as spoken),
`count:noun` (a number with the right form of a noun), `word` (an id looked up in `[words]`), `all`
or `any` (a list joined with "and" or "or", ids in it looked up too). Nothing else: what a line
says is decided in code, how it says it in data.

>>> lines = Lines.load('''
... language = "en"
... [lines]
... held = ["{seconds|duration}. Logged.", "Logged, {seconds|duration}."]
... sets = "{n|count:set} of {name}."
... side = "{side|word} side."
... [nouns]
... set = ["set", "sets"]
... second = ["second", "seconds"]
... minute = ["minute", "minutes"]
... [words]
... left = "left"
... [joins]
... all = "and"
... any = "or"
... ''')
>>> lines.render(Line("held", {"seconds": 70}))
'1 minute 10 seconds. Logged.'
>>> lines.render(Line("held", {"seconds": 38}, turn=1))
'Logged, 38 seconds.'
>>> lines.render(Line("sets", {"n": 2, "name": "pipe stand"}))
'2 sets of pipe stand.'

A join may be a pattern, `[joins] count` says how a number stands before its noun, and `[[agree]]`
names endings that go by the sound before them: a key stands in a line, and is said as its first
form where the letter before it, taken apart (Unicode NFD), matches `where`, else as its second.

>>> lines = Lines.load('''
... [lines]
... without = "{items|all}을/를 빼고 {n|count:set}."
... [nouns]
... set = "세트"
... [joins]
... all = "{first}와/과 {last}"
... count = "{n}{noun}"
... [[agree]]
... where = "[\\u11a8-\\u11c2]"
... forms = { "을/를" = ["을", "를"], "와/과" = ["과", "와"] }
... ''')
>>> lines.render(Line("without", {"items": ("벽", "매트"), "n": 2}))
'벽과 매트를 빼고 2세트.'
"""

from __future__ import annotations

import re
import tomllib
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field

LineValue = str | int | tuple[str, ...]

_SLOT = re.compile(r"\{([a-z_]+)(?:\|([a-z]+)(?::([a-z_]+))?)?\}")
_WAYS = {None, "duration", "count", "word", "all", "any"}
_CLOSING = "\"')]}’”»"
_DURATION_NOUNS = ("minute", "second")


class LineError(ValueError):
    """A line, or the data that holds it, is wrong; the text says which and how to mend it."""


@dataclass(frozen=True)
class Line:
    """One thing the coach can say: a line's id in the language's data, and what fills it.

    `turn` picks one of the ways to say it; where None, nobody has picked yet, and it is the first.
    """

    id: str
    values: Mapping[str, LineValue] = field(default_factory=dict)
    turn: int | None = field(default=None, compare=False)


@dataclass(frozen=True)
class Agreement:
    """Endings that go by the letter before them: as written, and what is said for it."""

    where: re.Pattern[str]
    forms: Mapping[str, tuple[str, str]]

    def applied(self, text: str) -> str:
        """The text with every ending chosen."""
        keys = "|".join(map(re.escape, sorted(self.forms, key=len, reverse=True)))
        return re.sub(keys, self._chosen, text)

    def _chosen(self, found: re.Match[str]) -> str:
        before = found.string[: found.start()].rstrip(_CLOSING)
        last = unicodedata.normalize("NFD", before[-1:])
        return self.forms[found[0]][0 if self.where.search(last) else 1]


@dataclass(frozen=True)
class Lines:
    """All lines of one language."""

    language: str
    lines: Mapping[str, tuple[str, ...]]
    nouns: Mapping[str, tuple[str, str]]
    words: Mapping[str, str]
    joins: Mapping[str, str]
    agreements: tuple[Agreement, ...] = ()

    @classmethod
    def load(cls, *texts: str) -> Lines:
        """Read TOML texts; several add up (an id given twice is an error).

        Raises LineError.
        """
        language = ""
        lines: dict[str, tuple[str, ...]] = {}
        tables: dict[str, dict[str, object]] = {"nouns": {}, "words": {}, "joins": {}}
        agreements: list[Agreement] = []
        for text in texts:
            try:
                data = tomllib.loads(text)
            except tomllib.TOMLDecodeError as error:
                raise LineError(f"the lines are not TOML: {error}; mend that place") from None
            language = str(data.pop("language", language))
            for prefix, table in (("", data.pop("lines", {})), ("reason.", data.pop("reason", {}))):
                for key, value in table.items():
                    variants = (value,) if isinstance(value, str) else tuple(value)
                    if prefix + key in lines:
                        raise LineError(f"line {prefix + key!r} is given twice: take one out")
                    if not variants:
                        raise LineError(f"line {prefix + key!r} has no text: write one")
                    lines[prefix + key] = variants
            for name, known in tables.items():
                known.update(data.pop(name, {}))
            agreements += [_agreement(one) for one in data.pop("agree", ())]
            if data:
                raise LineError(f"unknown table {sorted(data)[0]!r} among the lines: take it out")
        nouns = {key: _noun(key, value) for key, value in tables["nouns"].items()}
        made = cls(
            language,
            lines,
            nouns,
            {key: str(value) for key, value in tables["words"].items()},
            {key: str(value) for key, value in tables["joins"].items()},
            tuple(agreements),
        )
        made._check()
        return made

    def slots(self, line_id: str) -> frozenset[str]:
        """The names that a line's variants use."""
        return frozenset(m[1] for text in self.lines[line_id] for m in _SLOT.finditer(text))

    def render(self, line: Line) -> str:
        """The line as text, in the way that its turn picks. Raises LineError."""
        variants = self.lines.get(line.id)
        if variants is None:
            raise LineError(f"there is no line {line.id!r} in language {self.language!r}: write it")
        text = _SLOT.sub(lambda m: self._fill(line, m), variants[(line.turn or 0) % len(variants)])
        for agreement in self.agreements:
            text = agreement.applied(text)
        return text[:1].upper() + text[1:]

    def duration(self, seconds: int) -> str:
        """Seconds as the coach says them: minutes first, no zero parts."""
        minutes, rest = divmod(max(0, seconds), 60)
        parts = [self.count(minutes, "minute")] if minutes else []
        if rest or not minutes:
            parts.append(self.count(rest, "second"))
        return " ".join(parts)

    def count(self, number: int, noun: str) -> str:
        one, other = self.nouns[noun]
        pattern = self.joins.get("count", "{n} {noun}")
        return pattern.format(n=number, noun=one if number == 1 else other)

    def word(self, key: str) -> str:
        return self.words.get(key, key.replace("_", " "))

    def _fill(self, line: Line, match: re.Match[str]) -> str:
        name, way, noun = match[1], match[2], match[3]
        if name not in line.values:
            raise LineError(f"line {line.id!r} needs {name!r}, which it was not given")
        value = line.values[name]
        if way == "duration":
            return self.duration(_whole(line, name, value))
        if way == "count":
            return self.count(_whole(line, name, value), noun)
        if way == "word":
            return self.word(str(value))
        if way in ("all", "any"):
            return self._join([value] if isinstance(value, str) else list(_items(value)), way)
        return ", ".join(_items(value)) if isinstance(value, tuple) else str(value)

    def _join(self, items: list[str], way: str) -> str:
        items = [self.words.get(item, item) for item in items]
        if len(items) < 2:
            return "".join(items)
        join = self.joins[way]
        pattern = join if "{" in join else f"{{first}} {join} {{last}}"
        return pattern.format(first=", ".join(items[:-1]), last=items[-1])

    def _check(self) -> None:
        """Every way and noun that the lines use exists, so that no line fails in mid-session."""
        for line_id, variants in self.lines.items():
            for text in variants:
                rest = _SLOT.sub("", text)
                if "{" in rest or "}" in rest:
                    raise LineError(f"line {line_id!r} has a slot that can not be read: {text!r}")
                for match in _SLOT.finditer(text):
                    way, noun = match[2], match[3]
                    if way not in _WAYS:
                        raise LineError(f"line {line_id!r} uses {way!r}, which is no way to fill")
                    needed = _DURATION_NOUNS if way == "duration" else (noun,)
                    missing = [n for n in needed if n and n not in self.nouns]
                    if missing or (way == "count" and not noun):
                        raise LineError(f"line {line_id!r} needs the noun {missing}: add it")
                    if way in ("all", "any") and way not in self.joins:
                        raise LineError(f"line {line_id!r} needs the join {way!r}: add it")


def _agreement(value: object) -> Agreement:
    try:
        where, forms = value["where"], value["forms"]  # type: ignore[index]
        return Agreement(re.compile(where), {k: (str(a), str(b)) for k, (a, b) in forms.items()})
    except (KeyError, TypeError, ValueError, re.error) as error:
        raise LineError(
            f"an [[agree]] can not be read ({error}): write where, a regular expression, and "
            "forms, each with two texts"
        ) from None


def _noun(key: str, value: object) -> tuple[str, str]:
    if isinstance(value, str):
        return value, value
    if not isinstance(value, list) or len(value) != 2:
        raise LineError(f"noun {key!r} needs two forms, for one and for more: write [one, more]")
    return str(value[0]), str(value[1])


def _whole(line: Line, name: str, value: LineValue) -> int:
    if not isinstance(value, int):
        raise LineError(f"line {line.id!r} needs a number for {name!r}, not {value!r}")
    return value


def _items(value: LineValue) -> tuple[str, ...]:
    return value if isinstance(value, tuple) else (str(value),)
