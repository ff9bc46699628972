"""A language's phrases: templates by intent, what they cost, and which belong together."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, ClassVar, Literal

from pydantic import BaseModel, ConfigDict

from intents.meaning import INTENT_IDS, SAFETY_IDS
from intents.numbers import HIGHEST, Numbers
from intents.scope import Bare, Scope
from intents.template import (
    Line,
    Node,
    Piece,
    Slot,
    TemplateError,
    Word,
    flat,
    names,
    parse,
    readers_in,
)
from intents.trie import Kit, Reader, Trie
from intents.vocabulary import NameReader, Vocabulary
from intents.words import Speller, WordData

Cost = Literal["instant", "plain", "answer", "read_back", "asked"]
"""What acting wrongly costs, and so how it is guarded; the head of a phrases file tells each."""


class _Strict(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class IntentData(_Strict):
    cost: Cost
    near: bool = True
    say: tuple[str, ...] = ()
    typed: tuple[str, ...] = ()
    within: tuple[str, ...] = ()


class BareData(_Strict):
    kind: Bare
    intent: str
    say: tuple[str, ...]
    typed: tuple[str, ...] = ()


class PhraseData(_Strict):
    pieces: dict[str, str]
    intents: dict[str, IntentData]
    bare: tuple[BareData, ...]
    combine: dict[str, tuple[str, ...]]
    breath: dict[str, tuple[str, ...]]


@dataclass(frozen=True)
class Template:
    """One template of an intent, in the order of the file.

    `bare` names the question that it answers, where it counts only as an answer; `within` is True
    where it counts inside other speech too; `heard` is False where it counts in text only.
    `readers` are those of the values that it may read.
    """

    intent: str
    text: str
    node: Node = field(repr=False)
    bare: Bare | None = None
    within: bool = False
    heard: bool = True
    readers: frozenset[str] = frozenset()

    def heard_in(self, scope: Scope) -> bool:
        """Whether it counts in this scope."""
        return self.bare in scope.bare if self.bare else self.intent in scope.meanings


@dataclass(frozen=True, eq=False)
class Phrases:
    """Everything that can be said in one language, but for the vocabulary."""

    templates: tuple[Template, ...]
    pieces: Mapping[str, Node]
    intents: Mapping[str, IntentData]
    pairs: frozenset[frozenset[str]]
    breath: Mapping[str, tuple[str, ...]]
    numbers: Numbers
    words: WordData
    speller: Speller

    every_language: ClassVar[Mapping[str, tuple[int, int]]] = {
        "count": (0, HIGHEST),
        "few": (0, HIGHEST),
        "minutes": (1, HIGHEST // 60),
        "rpe": (0, 10),
        "level": (0, 10),
    }

    @cached_property
    def ranges(self) -> Mapping[str, tuple[int, int]]:
        """Readers of whole numbers, with the least and the greatest that they take."""
        own = self.numbers.data.readers.items()
        return {**{name: (r.low, r.high) for name, r in own}, **self.every_language}

    @cached_property
    def usual(self) -> Mapping[str, tuple[int, int]]:
        """The same as recognisers listen for them: smaller grammars are heard better."""
        own = self.numbers.data.readers.items()
        heard = {name: (r.low, min(r.high, r.high_heard)) for name, r in own}
        return {**heard, **self.every_language, "few": (0, 99)}

    @classmethod
    def read(cls, phrases: str, numbers: str, words: str) -> Phrases:
        """Take the texts of a language's phrases, numbers and words files.

        Raises ValueError (TemplateError, pydantic's or tomllib's own) where one is broken.
        """
        data = PhraseData.model_validate(tomllib.loads(phrases))
        word_data = WordData.model_validate(tomllib.loads(words))
        speller = word_data.speller()
        pieces = {name: parse(text) for name, text in data.pieces.items()}
        made = cls(
            templates=tuple(_templates(data, pieces)),
            pieces=pieces,
            intents=data.intents,
            pairs=frozenset(
                frozenset((one, other)) for one, others in data.combine.items() for other in others
            ),
            breath=data.breath,
            numbers=Numbers.read(numbers, speller.parted),
            words=word_data,
            speller=speller,
        )
        made._check(data)
        return made

    def _check(self, data: PhraseData) -> None:
        missing = set(INTENT_IDS) - set(data.intents)
        if missing:
            raise ValueError(f"no phrases for {sorted(missing)[0]!r}; add [intents.{min(missing)}]")
        named = {*data.intents, *(bare.intent for bare in data.bare)}
        named |= {intent for pair in self.pairs for intent in pair}
        unknown = named - set(INTENT_IDS)
        if unknown:
            raise ValueError(f"{sorted(unknown)[0]!r} is no intent; take it out or mend its name")
        unsafe = {i for i in SAFETY_IDS if data.intents[i].cost != "instant"}
        if unsafe:
            raise ValueError(f'{min(unsafe)} keeps people safe; give it cost = "instant"')
        readers = set(self.readers(Vocabulary()))
        for text, node in (
            *((template.text, template.node) for template in self.templates),
            *((data.pieces[name], node) for name, node in self.pieces.items()),
        ):
            for piece in names(node):
                if piece not in self.pieces:
                    raise TemplateError(
                        f"template {text!r}: there is no piece <{piece}>; add it to [pieces]"
                    )
            for line in flat(node):
                for item in line:
                    if isinstance(item, Slot) and item.reader not in readers:
                        raise TemplateError(
                            f"template {text!r}: nothing reads {{{item.reader}}}; "
                            f"use one of {', '.join(sorted(readers))}"
                        )

    def folded(self, line: Line) -> Line:
        """A line with its words brought to their one form."""
        out: list[Word | Slot | Piece] = []
        run: list[str] = []
        for item in (*line, None):
            if isinstance(item, Word):
                run.append(item.text)
                continue
            out.extend(Word(token) for token in self.speller.fold(tuple(run)))
            run.clear()
            if item is not None:
                out.append(item)
        return tuple(out)

    def readers(self, vocabulary: Vocabulary) -> Mapping[str, Reader]:
        """What reads each slot.

        In text `my_part` and `the_equipment` are parts and equipment like others; recognisers want
        the article said.
        """
        equipment = NameReader(vocabulary.equipment, self.words, self.speller)
        part = NameReader(vocabulary.parts, self.words, self.speller)
        return {
            "equipment": equipment,
            "the_equipment": equipment,
            "part": part,
            "my_part": part,
            "seconds": self.numbers.durations(),
            "minutes": self.numbers.minutes(*self.ranges["minutes"]),
            **{
                name: self.numbers.count(low, high, name)
                for name, (low, high) in self.ranges.items()
                if name != "minutes"
            },
        }

    def kit(self, vocabulary: Vocabulary) -> Kit:
        """What a walk through these phrases needs."""
        pieces: dict[str, Trie[None]] = {}
        for name, node in self.pieces.items():
            pieces[name] = Trie()
            for line in self.folded_lines(node):
                pieces[name].add(line, None)
        return Kit(self.readers(vocabulary), pieces)

    def folded_lines(self, node: Node) -> Iterable[Line]:
        """Every way through a template, pieces left as they are, words in their one form."""
        return dict.fromkeys(self.folded(line) for line in flat(node))


def _templates(data: PhraseData, pieces: Mapping[str, Node]) -> Iterator[Template]:
    def made(intent: str, texts: Iterable[str], **how: Any) -> Iterator[Template]:
        for text in texts:
            node = parse(text)
            yield Template(intent, text, node, readers=readers_in(node, pieces), **how)

    for intent, entry in data.intents.items():
        yield from made(intent, entry.say)
        yield from made(intent, entry.typed, heard=False)
        yield from made(intent, entry.within, heard=False, within=True)
    for bare in data.bare:
        yield from made(bare.intent, bare.say, bare=bare.kind)
        yield from made(bare.intent, bare.typed, bare=bare.kind, heard=False)
