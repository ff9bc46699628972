"""What a recogniser is told to listen for, made from the same templates that match text."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from intents.jsgf import Atoms, Writer, automaton, joined
from intents.phrases import Phrases, Template
from intents.scope import Scope
from intents.span import Texts, span
from intents.template import Line, Node, Piece, Slot, Word, flat, parse
from intents.template import names as pieces_in
from intents.vocabulary import Vocabulary, heard_names

_JSGF_WORD = re.compile(r"<[^>]*>|[^\s()\[\]|;=<>]+")


@dataclass(frozen=True)
class Grammar:
    """One scope's grammar for every engine.

    `jsgf` is a complete JSGF document (one public rule) for engines with a strict grammar;
    `phrases` is a list of phrases that spans it for engines that build a model of phrases;
    `words` are all words that occur, lower case; `tail` those that may end any phrase without
    changing its meaning ("please"), so that nobody need wait for them. Where the words are not
    `spaced`, a word may be heard as several that say the same without a space.
    """

    name: str
    jsgf: str
    phrases: tuple[str, ...]
    words: frozenset[str]
    tail: frozenset[str] = frozenset()
    spaced: bool = True

    def divided(self, parts: Mapping[str, str]) -> Grammar:
        """The same with words written as their parts, with spaces between.

        >>> grammar = Grammar("g", "public <said> = 손목이 | 손;", ("손목이", "손"), frozenset())
        >>> grammar.divided({"손목이": "손목 이"}).jsgf
        'public <said> = 손목 이 | 손;'
        """
        phrases = tuple(" ".join(parts.get(w, w) for w in p.split()) for p in self.phrases)
        return replace(
            self,
            jsgf=_JSGF_WORD.sub(lambda found: parts.get(found[0], found[0]), self.jsgf),
            phrases=phrases,
            words=frozenset(word for phrase in phrases for word in phrase.split()),
            tail=frozenset(part for w in self.tail for part in parts.get(w, w).split()),
        )


def make_grammar(phrases: Phrases, vocabulary: Vocabulary, scope: Scope) -> Grammar:
    """The grammar of all that recognisers listen for in a scope.

    Of the phrases that may be combined, only those that the data lists under `breath` are listened
    for in one breath; text may combine more.
    """
    heard = heard_templates(phrases, vocabulary, scope)
    spanning = _spanning(phrases, _texts(phrases, vocabulary), heard)
    return Grammar(
        name=scope.name,
        jsgf=_jsgf(phrases, vocabulary, scope.name, heard),
        phrases=tuple(spanning),
        words=frozenset(word for text in spanning for word in text.split()),
        tail=frozenset(word for text in phrases.words.spoken_tail for word in text.split()),
        spaced=phrases.words.spaced,
    )


def heard_templates(
    phrases: Phrases, vocabulary: Vocabulary, scope: Scope
) -> dict[str, list[Template]]:
    """The templates that recognisers listen for in a scope, by intent.

    Those that name things of which the vocabulary has none are left out.
    """
    names = heard_names(vocabulary, phrases.words)
    nameless = {reader for reader, (_, some) in names.items() if not some}
    heard: dict[str, list[Template]] = {}
    for template in phrases.templates:
        if template.heard and template.heard_in(scope) and nameless.isdisjoint(template.readers):
            heard.setdefault(template.intent, []).append(template)
    return heard


def _jsgf(
    phrases: Phrases, vocabulary: Vocabulary, name: str, heard: Mapping[str, list[Template]]
) -> str:
    slots, slot_rules = _slots(phrases, vocabulary)
    contractions = {tuple(k.split()): v for k, v in phrases.words.contractions.items()}
    writer = Writer(slots, slot_rules, phrases.pieces, contractions)
    for intent, templates in heard.items():
        writer.rules[intent] = ""
        writer.rules[intent] = joined(
            atoms for template in templates for atoms in writer.alternatives(template.node)
        )
    between = " | ".join(phrases.words.spoken_between)
    behind: dict[str, list[str]] = {}
    before: dict[str, list[str]] = {}
    for intent, others in phrases.breath.items():
        for other in others:
            if intent in heard and other in heard:
                # A rule is copied wherever it is named: name the longer of the two only once.
                second = joined(writer.alternatives(heard[other][0].node))
                if len(writer.rules[intent]) > len(second):
                    behind.setdefault(intent, []).append(second)
                else:
                    before.setdefault(second, []).append(intent)
    for intent, seconds in behind.items():
        writer.rules[intent] = f"({writer.rules[intent]}) [[{between}] ({' | '.join(seconds)})]"
    said = [f"<{intent}>" for intent in heard]
    for second, firsts in before.items():
        said.append(f"({' | '.join(f'<{first}>' for first in firsts)}) [{between}] ({second})")
    lead, tail = " | ".join(phrases.words.spoken_lead), " | ".join(phrases.words.spoken_tail)
    return writer.document(name, f"[{lead}] ({' | '.join(said)}) [{tail}]")


@lru_cache(maxsize=8)
def _slots(
    phrases: Phrases, vocabulary: Vocabulary
) -> tuple[dict[str, list[Atoms]], dict[str, str]]:
    """What each reader reads as alternatives, and the rules that these name."""
    numbers = phrases.numbers
    slots: dict[str, list[Atoms]] = {}
    rules: dict[str, str] = {}
    for reader, (fronts, names) in heard_names(vocabulary, phrases.words).items():
        forms = [(*front.split(), *name.split()) for front in fronts for name in names]
        rules[f"<{reader}>"] = automaton(forms)
        slots[reader] = [(f"<{reader}>",)]
    for reader, (low, high) in phrases.usual.items():
        rule = f"<{numbers.class_of(reader)}_from_{low}_to_{high}>"
        rules[rule] = automaton(numbers.tokens(low, high, reader))
        slots[reader] = [(rule,)]
    duration = numbers.data.duration
    ranges: dict[str, list[Atoms]] = {}
    for name, slot in duration.slots.items():
        rule = f"<{numbers.class_of('seconds')}_from_{slot.low}_to_{slot.high}>"
        rules[rule] = automaton(numbers.tokens(slot.low, slot.high, "seconds"))
        ranges[name] = [(rule,)]
    # Times that begin with a number of any size share it with other amounts; the rest is one rule.
    writer = Writer(ranges, {}, {}, {})
    times = [
        atoms
        for form in duration.forms
        if not form.rare
        for atoms in writer.alternatives(parse(form.say))
    ]
    any_number = slots["count"][0]
    slots["seconds"] = [atoms for atoms in times if atoms[:1] == any_number]
    longer = [atoms for atoms in times if atoms[:1] != any_number]
    if longer:
        rules["<longer_time>"] = joined(longer)
        slots["seconds"].append(("<longer_time>",))
    return slots, rules


def _spanning(
    phrases: Phrases, texts: Mapping[str, Texts], heard: Mapping[str, list[Template]]
) -> Texts:
    out: dict[str, None] = {}
    for templates in heard.values():
        lines = (line for template in templates for line in flat(template.node))
        out |= dict.fromkeys(span(_variants(phrases, lines), texts))
    out |= dict.fromkeys((*phrases.words.spoken_lead, *phrases.words.spoken_tail))
    few = {key: some[:1] for key, some in texts.items()}
    between = "|".join(phrases.words.spoken_between)
    for intent, others in phrases.breath.items():
        for other in others:
            if intent in heard and other in heard:
                first, second = heard[intent][0].text, heard[other][0].text
                both = flat(parse(f"({first}) [{between}] ({second})"))
                out |= dict.fromkeys(span(_variants(phrases, both), few))
    return list(out)


@lru_cache(maxsize=8)
def _texts(phrases: Phrases, vocabulary: Vocabulary) -> dict[str, Texts]:
    """Texts that span each slot and each piece."""

    def words(text: str) -> Line:
        return tuple(Word(word) for word in text.split())

    def numbers(low: int, high: int, reader: str) -> Texts:
        forms = phrases.numbers.tokens(low, high, reader)
        return span((tuple(map(Word, form)) for form in forms), {})

    texts = {f"{{{name}}}": numbers(low, high, name) for name, (low, high) in phrases.usual.items()}
    front, name = Slot(("front",), "front"), Slot(("name",), "name")
    for reader, (fronts, names) in heard_names(vocabulary, phrases.words).items():
        inner = {"{name}": span(map(words, names), {}), "{front}": [f for f in fronts if f]}
        lines = [(name,), (front, name)] if "" in fronts else [(front, name)]
        texts[f"{{{reader}}}"] = span(lines, inner) if names else []
    duration = phrases.numbers.data.duration
    times = (line for f in duration.forms if not f.rare for line in flat(parse(f.say)))
    ranges = {
        f"{{{n}}}": numbers(slot.low, slot.high, "seconds") for n, slot in duration.slots.items()
    }
    texts["{seconds}"] = span(times, ranges)
    for piece in _in_order(phrases.pieces):
        texts[f"<{piece}>"] = span(_variants(phrases, flat(phrases.pieces[piece])), texts)
    return texts


def _in_order(pieces: Mapping[str, Node]) -> Iterator[str]:
    """Names of pieces, each behind those that it refers to."""
    done: set[str] = set()

    def visit(name: str) -> Iterator[str]:
        if name not in done:
            done.add(name)
            for inner in pieces_in(pieces[name]):
                yield from visit(inner)
            yield name

    for name in pieces:
        yield from visit(name)


def _variants(phrases: Phrases, lines: Iterable[Line]) -> Iterator[Line]:
    """Lines as written, and with their words run together as they are spoken."""
    contractions = phrases.words.contractions
    for line in lines:
        yield line
        out: list[Word | Slot | Piece] = []
        for item in line:
            pair = f"{out[-1]} {item}" if out else ""
            if isinstance(item, Word) and pair in contractions:
                out[-1] = Word(contractions[pair])
            else:
                out.append(item)
        if len(out) < len(line):
            yield tuple(out)
