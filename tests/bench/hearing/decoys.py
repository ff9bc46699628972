"""Make assistant/hearing/decoys.toml: `python -m tests.bench.hearing.decoys > decoys.toml`.

Words and their frequencies are read off the general English model in PocketSphinx's wheel.
"""

from __future__ import annotations

import math
import re

import pocketsphinx

MOST = 1500
_LETTERS = re.compile(r"[a-z]{2,}('[a-z]+)?|[aio]('[a-z]+)?")


def main() -> None:
    decoder = pocketsphinx.Decoder(lm=None, loglevel="FATAL")
    path = pocketsphinx.get_model_path("en-us/en-us.lm.bin")
    model = pocketsphinx.NGramModel(decoder.config, decoder.get_logmath(), path)
    with open(pocketsphinx.get_model_path("en-us/cmudict-en-us.dict"), encoding="utf-8") as file:
        words = [line.split()[0] for line in file]
    shares = {word: model.prob([word]) * math.log10(1.0001) for word in words if "(" not in word}
    frequent = [w for w in sorted(shares, key=lambda w: -shares[w]) if _LETTERS.fullmatch(w)]
    print("# Frequent words of everyday English: decimal logarithm of their share of all words.")
    print("#")
    print(
        "# Read off the general English language model that comes with PocketSphinx (BSD licence)"
    )
    print("# by tests/bench/hearing_decoys.py.")
    print("\n[en]")
    for word in frequent[:MOST]:
        name = f'"{word}"' if "'" in word else word
        print(f"{name} = {shares[word]:.2f}")


if __name__ == "__main__":
    main()
