"""Templates written as JSGF (JSpeech Grammar Format, W3C note of 5 June 2000).

Alternatives that begin or end alike are drawn together, since a recogniser copies a rule at every
place that names it; numbers are written as the smallest automaton that says them all.

>>> joined([("log", "<count>"), ("record", "<count>"), ("undo",)])
'(log | record) <count> | undo'
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import product

from intents.template import Choice, Node, Piece, Sequence, Slot, Word

_RULE = re.compile(r"<(\w+)>")

Atoms = tuple[str, ...]
"""One alternative: words, rule names in <>, and groups, in order."""


def joined(alternatives: Iterable[Atoms]) -> str:
    """Alternatives as one JSGF expansion; those with a rule in common at an end share it."""
    unique = list(dict.fromkeys(alternatives))
    shared = _drawn_together(unique, last=True)
    if shared == unique:
        shared = _drawn_together(unique, last=False)
    return " | ".join(" ".join(atoms) for atoms in shared)


def _drawn_together(alternatives: list[Atoms], last: bool) -> list[Atoms]:
    groups: dict[str, list[Atoms]] = {}
    for atoms in alternatives:
        edge = atoms[-1] if last else atoms[0]
        key = edge if edge.startswith("<") else " ".join(atoms)
        groups.setdefault(key, []).append(atoms)
    out: list[Atoms] = []
    for key, members in groups.items():
        if len(members) == 1 or not key.startswith("<"):
            out += members
            continue
        rests = [atoms[:-1] if last else atoms[1:] for atoms in members]
        some = [atoms for atoms in rests if atoms]
        group = joined(some)
        left_out = len(some) < len(rests)
        if left_out:
            group = f"[{group}]"
        elif " | " in group:
            group = f"({group})"
        out.append((group, key) if last else (key, group))
    return out


@dataclass
class Writer:
    """Collects the rules of one grammar.

    `slots` gives what each reader reads, as alternatives; `slot_rules` the expansions of the rules
    in them, by their names in <>; `pieces` the templates of pieces; `contractions` pairs of words
    and how they are said as one.
    """

    slots: Mapping[str, list[Atoms]]
    slot_rules: Mapping[str, str]
    pieces: Mapping[str, Node]
    contractions: Mapping[Atoms, str]
    rules: dict[str, str] = field(default_factory=dict)

    def alternatives(self, node: Node) -> list[Atoms]:
        """A template as alternatives; names the rules that it needs."""
        match node:
            case Word(text):
                return [(text,)]
            case Slot(_, reader):
                return self._slot(reader)
            case Piece(name):
                return self.alternatives(self.pieces[name])
            case Choice(options, False):
                return [atoms for option in options for atoms in self.alternatives(option)]
            case Choice():
                return [(self._group(node),)]
            case Sequence(items):
                parts = [self._part(part) for part in self._contracted(items)]
                return [sum(chosen, ()) for chosen in product(*parts)]
        raise AssertionError(node)

    def _part(self, node: Node | str) -> list[Atoms]:
        """One item of a sequence: alternatives that begin with rules stay apart, words are drawn
        together."""
        match node:
            case str(text):
                return [(text,)]
            case Choice():
                return [(self._group(node),)]
            case Piece(name):
                if f"piece_{name}" not in self.rules:
                    self.rules[f"piece_{name}"] = joined(self.alternatives(self.pieces[name]))
                return [(f"<piece_{name}>",)]
            case _:
                return self.alternatives(node)

    def _group(self, node: Choice) -> str:
        inner = joined(atoms for option in node.options for atoms in self.alternatives(option))
        return f"[{inner}]" if node.optional else f"({inner})"

    def _slot(self, reader: str) -> list[Atoms]:
        for atoms in self.slots[reader]:
            for atom in atoms:
                self._define(atom)
        return self.slots[reader]

    def _define(self, text: str) -> None:
        """Take in the slot rules that a text names, and those that they name."""
        for name in _RULE.findall(text):
            if f"<{name}>" in self.slot_rules and name not in self.rules:
                self.rules[name] = self.slot_rules[f"<{name}>"]
                self._define(self.rules[name])

    def _contracted(self, items: tuple[Node, ...]) -> Iterator[Node | str]:
        """The items of a sequence, with "do not" as (do not | don't), "(it|that) is" likewise."""
        at = 0
        while at < len(items):
            firsts = _words(items[at])
            seconds = _words(items[at + 1]) if at + 1 < len(items) else ()
            pairs = [
                (one, other)
                for one in firsts
                for other in seconds
                if (one, other) in self.contractions
            ]
            if not pairs:
                yield items[at]
                at += 1
                continue
            apart: list[Atoms] = [(one, other) for one in firsts for other in seconds]
            together: list[Atoms] = [(self.contractions[pair],) for pair in pairs]
            yield f"({joined(apart + together)})"
            at += 2

    def document(self, name: str, public: str) -> str:
        """The whole grammar, with one public rule."""
        lines = ["#JSGF V1.0 UTF-8;", f"grammar {name};", f"public <said> = {public};"]
        lines += [f"<{rule}> = {expansion};" for rule, expansion in self.rules.items()]
        return "\n".join(lines) + "\n"


def _words(node: Node) -> tuple[str, ...]:
    """The options of a node whose every option is one word."""
    match node:
        case Word(text):
            return (text,)
        case Choice(options, False) if all(isinstance(option, Word) for option in options):
            return tuple(str(option) for option in options)
        case _:
            return ()


@dataclass(frozen=True)
class _State:
    """Where the words so far may go on to; equal states are one."""

    final: bool
    steps: tuple[tuple[str, _State], ...]


def automaton(forms: Iterable[Atoms]) -> str:
    """An expansion that accepts exactly these word sequences, equal endings written once.

    >>> automaton([("thirty",), ("thirty", "one"), ("forty",), ("forty", "one")])
    '(forty | thirty) [one]'
    """
    return _expansion(_state(sorted(set(forms)), {}))


def _state(forms: list[Atoms], known: dict[_State, _State]) -> _State:
    by_first: dict[str, list[Atoms]] = {}
    for form in forms:
        if form:
            by_first.setdefault(form[0], []).append(form[1:])
    steps = tuple((word, _state(rests, known)) for word, rests in by_first.items())
    state = _State(() in forms, steps)
    return known.setdefault(state, state)


def _expansion(state: _State) -> str:
    by_after: dict[_State, list[str]] = {}
    for word, after in state.steps:
        by_after.setdefault(after, []).append(word)
    for after, words in by_after.items():
        # What may be left out: its words lead to where the state's other words lead anyway.
        others = tuple(step for step in state.steps if step[0] not in words)
        if others and after == _State(False, others):
            text = f"[{' | '.join(words)}] {_expansion(after)}"
            return f"[{text}]" if state.final else text
    options = []
    for after, words in by_after.items():
        choice = " | ".join(words)
        rest = _expansion(after)
        if rest:
            choice = f"({choice}) {rest}" if len(words) > 1 else f"{choice} {rest}"
        options.append(choice)
    text = " | ".join(options)
    if state.final and text:
        return f"[{text}]"
    return f"({text})" if " | " in text and not _one_group(options) else text


def _one_group(options: list[str]) -> bool:
    """Whether there is but one option, which is no plain choice of words."""
    return len(options) == 1 and options[0].startswith("(")
