"""How fast text is understood: python tests/bench/understand.py prints one JSON line.

Microseconds a text, median and 95th and 99th percentile: of commands (sentences picked from the
grammar of every node of a session, each understood in its scope), of the same in the scope of
everything, and of talk that is not for us (clauses of the Python manual). Also the milliseconds
that it takes to make the understander, and the grammar of a node (the first, and the median).
"""

from __future__ import annotations

import json
import pydoc_data.topics
import re
import statistics
import sys
import time
from collections.abc import Callable, Iterable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from assistant.language import phrases
from assistant.session.nodes import Node
from assistant.session.scopes import scope_at
from intents.grammar import make_grammar
from intents.sample import sample
from intents.scope import EVERYTHING, Scope
from intents.understand import Understander
from intents.vocabulary import vocabulary_of

PICKED = 100
"""Sentences picked at each node."""


def microseconds(
    understand: Callable[[str, Scope], object], said: Iterable[tuple[str, Scope]]
) -> dict[str, float]:
    """Times of single calls; each text once, so that nothing is gained by remembering it."""
    times = []
    for text, scope in said:
        began = time.perf_counter()
        understand(text, scope)
        times.append((time.perf_counter() - began) * 1e6)
    cuts = statistics.quantiles(times, n=100)
    names = {"median": cuts[49], "p95": cuts[94], "p99": cuts[98]}
    return {"texts": len(times), **{name: round(value, 1) for name, value in names.items()}}


def main() -> None:
    began = time.perf_counter()
    spoken = phrases("en")
    vocabulary = vocabulary_of(None, spoken.words)
    understander = Understander(spoken, vocabulary)
    understander.understand("something that makes it ready to compare")
    ready = (time.perf_counter() - began) * 1e3

    scopes = [scope_at(node) for node in Node]
    grammars = []
    for scope in scopes:
        began = time.perf_counter()
        make_grammar(spoken, vocabulary, scope)
        grammars.append((time.perf_counter() - began) * 1e3)

    commands = [
        (picked.text, scope)
        for scope in scopes
        for picked in sample(spoken, vocabulary, scope, seed=11, n=PICKED)
    ]
    text = re.sub(r"\n(?=\S)", " ", " ".join(pydoc_data.topics.topics.values()))
    clauses = (clause.strip() for clause in re.split(r"[.!?;:\n,()]+|\s{3,}", text))
    talk = [clause for clause in dict.fromkeys(clauses) if 0 < len(clause.split()) <= 12][:3000]
    understand = understander.understand
    print(
        json.dumps(
            {
                "bench": "understand",
                "templates": len(spoken.templates),
                "ready_ms": round(ready),
                "grammar_first_ms": round(grammars[0]),
                "grammar_median_ms": round(statistics.median(grammars)),
                "command_us": microseconds(understand, commands),
                "everything_us": microseconds(understand, ((t, EVERYTHING) for t, _ in commands)),
                "talk_us": microseconds(understand, ((t, EVERYTHING) for t in talk)),
            }
        )
    )


if __name__ == "__main__":
    main()
