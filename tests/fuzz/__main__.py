"""Fuzzing of everything that reads what somebody else may have written.

    python -m tests.fuzz --times 1          a million inputs and more, guided by coverage (atheris)
    python -m tests.fuzz wave --runs 5000   so many inputs of one target
    python -m tests.fuzz --plain            without atheris, at random

prints one JSON line for each target: inputs, seconds, and what was found. An input that takes
more than 10 seconds, or a process of more than 2 GB, is a finding too.
"""

from __future__ import annotations

import argparse
import json
import re
import subprocess
import sys
import tempfile
import time
import traceback
from pathlib import Path
from random import Random

from tests.fuzz.mutate import mutate

SECONDS, MEGABYTES = 10, 2048
PACKAGES = ("catalogue", "intents", "assistant")

RUNS = {
    "entry": 350_000, "wave": 250_000, "voice": 150_000, "export": 100_000, "table": 100_000,
    "lines": 60_000, "profile": 30_000, "catalogue": 6_000, "archive": 20_000, "typed": 15_000,
    "phrases": 3_000, "record": 3_000,
}  # fmt: skip
"""Inputs of a whole run: many of what is quick, some of what reads and writes a disk."""


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("targets", nargs="*", choices=(*RUNS, []))
    parser.add_argument("--runs", type=int)
    parser.add_argument("--times", type=float, default=1.0, help="so many times the usual runs")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--plain", action="store_true", help="at random, without coverage")
    parser.add_argument("--guided", action="store_true", help=argparse.SUPPRESS)
    wanted = parser.parse_args()
    for name in wanted.targets or RUNS:
        runs = wanted.runs or round(RUNS[name] * wanted.times)
        if wanted.guided:
            _guided(name, runs, wanted.seed)
        began = time.monotonic()
        told = (_at_random if wanted.plain else _in_child)(name, runs, wanted.seed)
        told |= {"target": name, "seconds": round(time.monotonic() - began), "seed": wanted.seed}
        print(json.dumps(told), flush=True)


def _at_random(name: str, runs: int, seed: int) -> dict[str, object]:
    from tests.fuzz.targets import TARGETS

    target, random = TARGETS[name], Random(seed)
    seeds = target.seeds()
    found: dict[str, str] = {}
    for _ in range(runs):
        data = mutate(random, seeds, target.words, target.longest)
        began = time.monotonic()
        try:
            target.run(data)
        except Exception as error:
            last = traceback.extract_tb(error.__traceback__)[-1]
            found.setdefault(f"{type(error).__name__} {last.filename}:{last.lineno}", data.hex())
        if time.monotonic() - began > SECONDS:
            found.setdefault("slow", data.hex())
    return {"inputs": runs, "found": found}


def _in_child(name: str, runs: int, seed: int) -> dict[str, object]:
    """libFuzzer ends its process, so each target has one of its own."""
    command = [sys.executable, "-m", "tests.fuzz", name, "--guided", "--seed", str(seed)]
    done = subprocess.run(
        [*command, "--runs", str(runs)], capture_output=True, text=True, errors="replace"
    )
    said = done.stdout + done.stderr
    ended = re.findall(r"^#(\d+)\s+\w+\s+cov: (\d+)", said, re.M)
    inputs, covered = map(int, ended[-1]) if ended else (0, 0)
    # The traceback is on standard output, the input (in Base64) at the end of the other.
    finding = "" if done.returncode == 0 else done.stdout[-2000:] + done.stderr[-2000:]
    return {"inputs": inputs, "covered": covered, "found": finding}


def _guided(name: str, runs: int, seed: int) -> None:
    import atheris

    # The project's own code, and the readers of the standard library that it trusts.
    with atheris.instrument_imports(include=[*PACKAGES, "tomllib", "wave", "zipfile", "csv"]):
        from tests.fuzz.targets import TARGETS

    target = TARGETS[name]
    seeds = target.seeds()
    with tempfile.TemporaryDirectory() as folder:
        corpus = Path(folder, "corpus")
        corpus.mkdir()
        for number, seed_input in enumerate(seeds):
            (corpus / str(number)).write_bytes(seed_input)
        words = Path(folder, "words")
        words.write_text("".join(f'"{_escaped(word)}"\n' for word in target.words))
        atheris.Setup(
            [
                "fuzz", str(corpus), f"-dict={words}", f"-runs={runs}", f"-seed={seed}",
                f"-max_len={target.longest}", f"-timeout={SECONDS}", f"-rss_limit_mb={MEGABYTES}",
                f"-artifact_prefix={folder}/", "-print_final_stats=1",
            ],
            target.run,
        )  # fmt: skip
        atheris.Fuzz()


def _escaped(word: str) -> str:
    return "".join(f"\\x{byte:02x}" for byte in word.encode())


if __name__ == "__main__":
    main()
