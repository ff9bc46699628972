"""The graph of words, held against PocketSphinx's own reading of the same grammar."""

import random

import pocketsphinx
import pytest

from assistant.errors import HearingError
from assistant.hearing.graph import Graph
from assistant.hearing.patience import Patience
from intents.grammar import Grammar
from tests.assistant.hearing.sounds import COMMANDS


def graph(rule: str) -> Graph:
    jsgf = f"#JSGF V1.0;\ngrammar x;\npublic <x> = {rule};"
    return Graph.of(Grammar("x", jsgf, (), frozenset()))


@pytest.mark.parametrize(
    ("jsgf", "count"),
    [
        (COMMANDS.jsgf, 300),
        ("#JSGF V1.0;\ngrammar x;\npublic <x> = a [b] (c | d [e] [f]) [(a | b) [c]];", 300),
    ],
)
def test_it_accepts_what_the_library_accepts(jsgf: str, count: int) -> None:
    """Random texts, phrases of the graph among them: both say the same of each."""
    made = Graph.of(Grammar("x", jsgf, (), frozenset()))
    machine = pocketsphinx.Decoder(lm=None, loglevel="FATAL").parse_jsgf(jsgf)
    chance = random.Random(1)
    words = sorted(made.vocabulary())
    for _ in range(count):
        phrase = made.sentence(chance)
        assert machine.accept(" ".join(phrase)), phrase
        changed = list(phrase)
        changed[chance.randrange(len(changed))] = chance.choice(words)
        for text in (tuple(changed), phrase[:-1], (*phrase, chance.choice(words))):
            if text:
                assert made.accepts(text) == bool(machine.accept(" ".join(text))), text


def test_it_is_small() -> None:
    made = graph("(a | b | c) (a | b | c) [a] [b] [c]")
    assert len(made.steps) == 6
    assert made.vocabulary() == {"a", "b", "c"}


def test_a_rule_that_repeats_is_read_as_well() -> None:
    made = graph("(go | stop)+")
    assert made.accepts(("go", "stop", "go"))
    assert made.next_words(("go",)) == {"go", "stop"}
    assert not made.accepts(())


def test_what_is_no_grammar_is_told() -> None:
    with pytest.raises(HearingError, match="no valid JSGF"):
        graph("(stop")
    with pytest.raises(HearingError, match="holds no words"):
        Graph.parse("FSG_BEGIN\nFSG_END")


def test_silence_counts_by_what_was_said() -> None:
    made = graph("(stop | start [over] | log (one | two | three | four | five | six | ten | twelve)"
                 " [seconds]) [please]")  # fmt: skip
    patience = Patience(whole=0.2, may_go_on=0.3, listing=0.5, broken=0.7)

    def waits(*text: str) -> float:
        tenths = (n / 10 for n in range(10))
        return next(s for s in tenths if patience.over(made, text, s, frozenset({"please"})))

    assert waits("stop") == 0.2
    assert waits("start") == 0.3
    assert waits("log") == 0.7
    assert waits("log", "six") == 0.3
    assert waits("six") == 0.7
    numbers = graph("twenty [one | two | three | four | five | six | seven | eight | nine]")
    assert next(s / 10 for s in range(10) if patience.over(numbers, ("twenty",), s / 10)) == 0.3
    listed = graph("log twenty [one | two | three | four | five | six | seven | eight | nine]")
    said = ("log", "twenty")
    assert next(s / 10 for s in range(10) if patience.over(listed, said, s / 10)) == 0.5
