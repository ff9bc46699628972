"""A model of all speech for one grammar: its phrases, and beside them everyday words.

It is decoded next to the strict grammar. Where somebody talks of other things, everyday words fit
the sound better than any phrase does, and the two decoders part; where a phrase was said they
agree, or differ by a sound or two.

The model is a bigram in the ARPA format (Doug Paul's, as every toolkit reads it). A bigram of the
phrases gets most of the probability; from any word it can back off to everyday words, by their
frequency.
"""

from __future__ import annotations

import math
import tempfile
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Final

import pocketsphinx

BEGIN, END = "<s>", "</s>"

OTHER_AT_START: Final = 0.15
"""Share of utterances that are taken for other speech before anything is heard."""
OTHER_INSIDE: Final = 0.05
"""Share of words inside a phrase that are taken to leave it."""
END_SHARE: Final = 0.1
"""Share of everyday words that end an utterance."""


def arpa(phrases: Iterable[str], everyday: Mapping[str, float]) -> str:
    """The model as ARPA text.

    `everyday` gives words with the decimal logarithm of their share of all words.

    >>> print(arpa(["stop", "go on"], {"the": -1.0}).split("\\\\2-grams:")[1].split("\\\\end")[0])
    <BLANKLINE>
    -0.3716 <s> go
    -0.3716 <s> stop
    -0.0223 go on
    -0.0223 on </s>
    -0.0223 stop </s>
    <BLANKLINE>
    <BLANKLINE>
    """
    follows: dict[str, Counter[str]] = defaultdict(Counter)
    words: set[str] = set()
    for phrase in phrases:
        row = phrase.split()
        words.update(row)
        for first, second in zip([BEGIN, *row], [*row, END], strict=True):
            follows[first][second] += 1
    single = _single(words, everyday)
    pairs: list[str] = []
    back_off: dict[str, float] = {}
    for first in sorted(follows):
        # Roots flatten the counts: how many phrases hold a pair says little of how often it is
        # said.
        counts = {second: math.sqrt(n) for second, n in follows[first].items()}
        leave = OTHER_AT_START if first == BEGIN else OTHER_INSIDE
        seen = sum(single.get(second, 0.0) for second in counts)
        back_off[first] = math.log10(leave / max(1e-4, 1 - seen))
        share = math.log10((1 - leave) / sum(counts.values()))
        pairs += [
            f"{share + math.log10(counts[second]):.4f} {first} {second}"
            for second in sorted(counts)
        ]
    singles = [f"-99 {BEGIN} {back_off.get(BEGIN, 0.0):.4f}"]
    for word, probability in sorted(single.items()):
        tail = f" {back_off.get(word, 0.0):.4f}" if word != END else ""
        singles.append(f"{math.log10(probability):.4f} {word}{tail}")
    return "\n".join(
        [
            "\\data\\",
            f"ngram 1={len(singles)}",
            f"ngram 2={len(pairs)}",
            "\n\\1-grams:",
            *singles,
            "\n\\2-grams:",
            *pairs,
            "\n\\end\\\n",
        ]
    )


def _single(words: set[str], everyday: Mapping[str, float]) -> dict[str, float]:
    """Probability of each word by itself; words of phrases that are not everyday ones are rare."""
    weights = {word: 10**log for word, log in everyday.items()}
    rare = min(weights.values(), default=1e-4)
    for word in words:
        weights.setdefault(word, rare)
    scale = (1 - END_SHARE) / sum(weights.values())
    return {END: END_SHARE, **{word: weight * scale for word, weight in weights.items()}}


def loaded(text: str, decoder: pocketsphinx.Decoder) -> pocketsphinx.NGramModel:
    """The model as PocketSphinx holds it; the library reads it from files only."""
    with tempfile.TemporaryDirectory(prefix="cuewalk-") as folder:
        path = Path(folder) / "open.arpa"
        path.write_text(text, encoding="utf-8")
        return pocketsphinx.NGramModel(decoder.config, decoder.get_logmath(), str(path))
