"""Spoken numbers from 0 to 999 and times made of them, strictly and both ways.

All forms come from a language's number data and are laid out once, so that a number is read by
looking it up and never guessed: "fifteen" is not nearly "fifty". Bare "one twenty" is 120, whatever
it counts; only with "minute" does it become a time of more than a minute ("one minute twenty", 80).

Languages that write a number as one word (German) give forms without spaces: "{digit}und{tens}".
Languages that count some things with other words than others (Korean) name the class of each reader
under `readers`; a reader that is not named there reads the last class.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from functools import cached_property
from itertools import product

from pydantic import BaseModel, ConfigDict, Field

from intents.meaning import SlotValue
from intents.template import Line, Word, flat, parse
from intents.trie import FormReader, Kit, Tokens, Trie

HIGHEST = 999


class _Strict(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Form(_Strict):
    """One way to say a number; see the head of a language's numbers file."""

    say: str
    times: tuple[int, ...] = ()
    add: int = 0
    rare: bool = False


class NumberClass(_Strict):
    name: str
    words: dict[str, int] = {}
    forms: tuple[Form, ...] = ()


class DurationSlot(_Strict):
    low: int
    high: int
    times: int


class Duration(_Strict):
    slots: dict[str, DurationSlot]
    forms: tuple[Form, ...]


class Speak(_Strict):
    """How one or more seconds and minutes are spoken; `{n}` is the number."""

    second: str
    seconds: str
    minute: str
    minutes: str


class ReaderData(_Strict):
    """The class that a reader of whole numbers reads, and its range in text and by ear."""

    number_class: str = Field(alias="class")
    low: int = 0
    high: int = HIGHEST
    high_heard: int = HIGHEST


class NumberData(_Strict):
    classes: tuple[NumberClass, ...] = Field(alias="class")
    readers: dict[str, ReaderData] = {}
    duration: Duration
    speak: Speak


_SLOT = re.compile(r"\{([a-z_]+)\}")
_CLOCK = re.compile(r"(\d{1,2}):([0-5]\d)")


Parted = Callable[[Tokens], Tokens]
"""What makes tokens of words, where those are not the same."""


def _same(words: Tokens) -> Tokens:
    return words


def _words(text: str) -> Tokens:
    return tuple(text.replace("-", " ").split())


def parted_line(line: Line, parted: Parted) -> Line:
    """A line with its words as tokens."""
    return tuple(
        part
        for item in line
        for part in (map(Word, parted((item.text,))) if isinstance(item, Word) else (item,))
    )


def spell(
    classes: Iterable[NumberClass], rare: bool = True, name: str = ""
) -> list[tuple[str, int]]:
    """Every spoken form of a class (the last one, if unnamed) with its value, in order.

    Without `rare`, forms that the data calls so are left out.
    """
    made: dict[str, list[tuple[str, int]]] = {}
    last: list[tuple[str, int]] = []
    for number_class in classes:
        last = list(number_class.words.items())
        for form in number_class.forms:
            if form.rare and not rare:
                continue
            names = _SLOT.findall(form.say)
            pattern = _SLOT.sub("{}", form.say)
            times = form.times + (1,) * (len(names) - len(form.times))
            for parts in product(*(made[name] for name in names)):
                value = form.add + sum(t * part[1] for t, part in zip(times, parts, strict=True))
                last.append((pattern.format(*(part[0] for part in parts)), value))
        made[number_class.name] = last
        if number_class.name == name:
            break
    return [(text, value) for text, value in last if 0 <= value <= HIGHEST]


class CountReader:
    """Reads a whole number from `low` to `high`, in words or digits."""

    def __init__(
        self,
        forms: Iterable[tuple[Tokens, int]],
        low: int = 0,
        high: int = HIGHEST,
    ) -> None:
        self.low, self.high = low, high
        self._forms = FormReader((tokens, n) for tokens, n in forms if low <= n <= high)

    def read(self, tokens: Tokens, at: int) -> Iterable[tuple[int, SlotValue]]:
        token = tokens[at] if at < len(tokens) else ""
        if token.isdecimal():
            return ((at + 1, int(token)),) if self.low <= int(token) <= self.high else ()
        return self._forms.read(tokens, at)

    def open(self, tokens: Tokens, at: int) -> bool:
        return self._forms.open(tokens, at)


class MinutesReader(CountReader):
    """Reads a number of minutes, as seconds."""

    def read(self, tokens: Tokens, at: int) -> Iterable[tuple[int, SlotValue]]:
        return [(end, int(value) * 60) for end, value in super().read(tokens, at)]


class DurationReader:
    """Reads a time with its unit, as seconds from 0 to 999; also as a clock writes it (1:10)."""

    def __init__(
        self, data: Duration, forms: list[tuple[Tokens, int]], parted: Parted = _same
    ) -> None:
        self._slots = data.slots
        self._kit = Kit(
            {name: CountReader(forms, slot.low, slot.high) for name, slot in data.slots.items()}
        )
        self._root: Trie[int] = Trie()
        for form in data.forms:
            for line in flat(parse(form.say)):
                self._root.add(parted_line(line, parted), form.add)

    def read(self, tokens: Tokens, at: int) -> Iterable[tuple[int, SlotValue]]:
        found: list[tuple[int, SlotValue]] = []
        if at < len(tokens) and (clock := _CLOCK.fullmatch(tokens[at])):
            found.append((at + 1, int(clock[1]) * 60 + int(clock[2])))
        for end, leaves, values in self._root.walk(tokens, at, self._kit):
            read = sum(self._slots[slot.reader].times * int(value) for slot, value in values)
            found.extend((end, read + add) for add in leaves)
        return [(end, value) for end, value in found if int(value) <= HIGHEST]

    def open(self, tokens: Tokens, at: int) -> bool:
        return any(True for _ in self._root.beyond(tokens, at, self._kit))


@dataclass(frozen=True)
class Numbers:
    """The numbers of one language.

    `forms` are all spoken forms with their values; `duration` the ways to say a time.
    """

    forms: tuple[tuple[str, int], ...]
    data: NumberData
    parted: Parted = field(default=_same, repr=False, compare=False)
    _spoken: dict[int, str] = field(default_factory=dict, repr=False, compare=False)
    _readers: dict[tuple[int, int, str], CountReader] = field(
        default_factory=dict, repr=False, compare=False
    )

    @classmethod
    def read(cls, text: str, parted: Parted = _same) -> Numbers:
        """Take a language's numbers file; `parted` makes the language's tokens of words.

        Raises ValueError where it is broken.
        """
        data = NumberData.model_validate(tomllib.loads(text))
        forms = tuple(spell(data.classes))
        spoken: dict[int, str] = {}
        for form, value in forms:
            spoken.setdefault(value, form)
        missing = sorted(set(range(HIGHEST + 1)) - set(spoken))
        if missing:
            raise ValueError(f"the number {missing[0]} can not be said; add a form for it")
        unknown = {r.number_class for r in data.readers.values()} - {c.name for c in data.classes}
        if unknown:
            raise ValueError(f"there is no class {min(unknown)!r} of numbers; add it, or name one")
        return cls(forms, data, parted, spoken)

    def tokens(self, low: int = 0, high: int = HIGHEST, reader: str = "") -> list[Tokens]:
        """The usual forms of the numbers from `low` to `high`, as words, as `reader` reads them."""
        usual = spell(self.data.classes, rare=False, name=self.class_of(reader))
        return list(dict.fromkeys(_words(text) for text, n in usual if low <= n <= high))

    def count(self, low: int = 0, high: int = HIGHEST, reader: str = "") -> CountReader:
        """A reader of whole numbers in a range, in the words that `reader` reads."""
        key = (low, high, self.class_of(reader))
        if key not in self._readers:
            self._readers[key] = CountReader(self._forms_of(reader), low, high)
        return self._readers[key]

    def minutes(self, low: int = 1, high: int = HIGHEST // 60) -> MinutesReader:
        return MinutesReader(self._forms_of("minutes"), low, high)

    def class_of(self, reader: str) -> str:
        """The name of a reader's own class of numbers, or none."""
        named = self.data.readers.get(reader)
        return named.number_class if named else ""

    def _forms_of(self, reader: str) -> list[tuple[Tokens, int]]:
        name = self.class_of(reader)
        forms = spell(self.data.classes, name=name) if name else self.forms
        return [(self.parted(_words(text)), value) for text, value in forms]

    def durations(self) -> DurationReader:
        """The reader of times."""
        return self._duration_reader

    @cached_property
    def _duration_reader(self) -> DurationReader:
        return DurationReader(self.data.duration, self._forms_of("seconds"), self.parted)

    def spoken(self, number: int) -> str:
        """A number from 0 to 999 in words: 38 is "thirty-eight"."""
        if number not in self._spoken:
            raise ValueError(f"{number} is not from 0 to {HIGHEST}")
        return self._spoken[number]

    def spoken_duration(self, seconds: int) -> str:
        """A time in words: 70 is "one minute ten seconds"."""
        minutes, rest = divmod(seconds, 60)
        speak = self.data.speak
        parts = []
        if minutes:
            unit = speak.minute if minutes == 1 else speak.minutes
            parts.append(unit.replace("{n}", self.spoken(minutes)))
        if rest or not minutes:
            unit = speak.second if rest == 1 else speak.seconds
            parts.append(unit.replace("{n}", self.spoken(rest)))
        return " ".join(parts)
