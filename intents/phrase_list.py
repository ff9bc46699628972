"""The list of what can be said in a language, as Markdown, made from the phrases themselves.

Which intents stand together is data (`phrase_groups.toml`); what each does in people's words, and
what stands for values, is data of the language (`phrase_list.toml`); the phrases are those that
recognisers listen for.

>>> from intents.template import parse
>>> ways([parse("next [one]"), parse("(go|move) on")], {}, {}, least=3, most=6)
['next', 'go on', 'next one', 'move on']
>>> ways([parse("{part} [and {part}]")], {}, {"part": ("wrist", "knee")}, least=3, most=6)
['wrist', 'wrist and knee']
"""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping

from pydantic import BaseModel, ConfigDict

from intents.phrases import Phrases, Template
from intents.scope import Bare
from intents.template import Line, Node, Slot, flat
from intents.vocabulary import Vocabulary, heard_names

MOST, LEAST = 6, 3
"""Each template is shown once, up to `MOST`; more ways through them only where there are fewer than
`LEAST`."""


class _Strict(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Group(_Strict):
    """Intents that can be said at the same places of a session, in the order of the list.

    `at` names those places; `bare` are answers that need no command word where they are asked for.
    """

    at: tuple[str, ...]
    intents: tuple[str, ...] = ()
    bare: tuple[Bare, ...] = ()

    @classmethod
    def read_all(cls, text: str) -> dict[str, Group]:
        """The groups of a file, by their ids. Raises ValueError where it is broken."""
        return {id_: cls.model_validate(group) for id_, group in tomllib.loads(text).items()}


class Heading(_Strict):
    title: str
    about: str = ""


class PhraseListData(_Strict):
    """A language's file: headings, what each intent and bare answer does, and how to show them."""

    title: str
    about: tuple[str, ...]
    columns: tuple[str, str]
    quotes: tuple[str, str]
    equipment: str
    parts: str
    does: dict[str, str]
    answers: dict[Bare, str]
    examples: dict[str, tuple[str, ...]]
    written: dict[str, str]
    groups: dict[str, Heading]

    @classmethod
    def read(cls, text: str) -> PhraseListData:
        """Raises ValueError (pydantic's or tomllib's own) where it is broken."""
        return cls.model_validate(tomllib.loads(text))


def markdown(
    groups: Mapping[str, Group], data: PhraseListData, phrases: Phrases, vocabulary: Vocabulary
) -> str:
    """The list as a Markdown document."""
    out = [f"# {data.title}", *data.about]
    for id_, group in groups.items():
        heading = data.groups[id_]
        out += [f"## {heading.title}", *filter(None, [heading.about])]
        rows = [(data.does[i], said(data, phrases, i)) for i in group.intents]
        rows += [(data.answers[bare], answers(data, phrases, bare)) for bare in group.bare]
        head = ["| {} | {} |".format(*data.columns), "|---|---|"]
        quote = "{}{{}}{}".format(*data.quotes)
        out.append(
            "\n".join([*head, *(f"| {d} | {', '.join(map(quote.format, s))} |" for d, s in rows)])
        )
    things = heard_names(vocabulary, phrases.words)["equipment"][1]
    spoken = (name for names in phrases.words.parts.values() for name in names)
    parts = [name for name in spoken if name not in phrases.words.rare_names]
    out += [
        data.equipment.format(names=", ".join(things)),
        data.parts.format(names=", ".join(parts)),
    ]
    return "\n\n".join(out) + "\n"


def said(data: PhraseListData, phrases: Phrases, intent: str) -> list[str]:
    """What recognisers listen for of an intent, with values filled in."""
    return _shown(data, phrases, lambda template: template.intent == intent and not template.bare)


def answers(data: PhraseListData, phrases: Phrases, bare: Bare) -> list[str]:
    """What recognisers listen for as a bare answer, with values filled in."""
    return _shown(data, phrases, lambda template: template.bare == bare)


def _shown(data: PhraseListData, phrases: Phrases, of: Callable[[Template], bool]) -> list[str]:
    nodes = [template.node for template in phrases.templates if template.heard and of(template)]
    found = []
    for way in ways(nodes, phrases.pieces, data.examples, least=LEAST, most=MOST):
        text = data.written.get(way) or " ".join(phrases.words.run_together(way.split(" ")))
        found.append(" ".join(data.written.get(word, word) for word in text.split(" ")))
    return list(dict.fromkeys(found))


def ways(
    nodes: Iterable[Node],
    pieces: Mapping[str, Node],
    examples: Mapping[str, tuple[str, ...]],
    *,
    least: int,
    most: int,
) -> list[str]:
    """The first way through each template, up to `most`; then further ways, up to `least`."""
    walks: list[Iterator[Line]] = [flat(node, pieces) for node in nodes]
    found: dict[str, None] = {}
    enough = most
    while walks and len(found) < enough:
        going = []
        for walk in walks:
            line = next(walk, None)
            if line is not None and len(found) < most:
                going.append(walk)
                found.setdefault(_filled(line, examples))
        walks, enough = going, least
    return list(found)


def _filled(line: Line, examples: Mapping[str, tuple[str, ...]]) -> str:
    """The line with examples for its values; where a kind comes again, its next example."""
    seen: Counter[str] = Counter()
    words = []
    for item in line:
        if not isinstance(item, Slot):
            words.append(str(item))
            continue
        name = item.names[0]
        key = next(k for k in (f"{name}:{item.reader}", item.reader, name) if k in examples)
        values = examples[key]
        words.append(values[min(seen[key], len(values) - 1)])
        seen[key] += 1
    return " ".join(words)
