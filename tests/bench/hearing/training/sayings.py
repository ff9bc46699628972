"""What is said in training: commands, and other speech, with the pieces that the network writes."""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from assistant.hearing.moonshine_net import PIECES
from assistant.hearing.moonshine_pieces import CAPITAL, END, SPACE, START, TENS, Pieces
from assistant.session.nodes import Node
from assistant.session.scopes import scope_at
from intents.meaning import SAFETY_IDS
from intents.sample import said_by
from tests.bench.hearing.material import coach
from tests.bench.hearing.training.network import folder

WAYS = 8
"""Ways that each template is said in, where it has as many."""

LEAD = 0.06
"""Share of commands with a word before them that means nothing, and with one behind them."""

TOGETHER = 0.4
"""Share of commands whose words are run together, as in "don't"."""

FORTUNES = Path("/usr/share/games/fortunes")
"""Sayings of all kinds, of Debian's package fortunes."""

LONGEST = 12
"""Words of other speech said in one breath."""


@dataclass(frozen=True)
class Saying:
    text: str
    command: bool
    safety: bool = False

    def pieces(self, pieces: Pieces) -> tuple[int, ...]:
        """As the network would write it: with a capital and a full stop."""
        words = self.text.rstrip(",;:").split()
        if self.command:
            words = [CAPITAL.get(word, word) for word in words]
            words[0] = words[0][0].upper() + words[0][1:]
        out = [START]
        for at, word in enumerate(words):
            behind_tens = at > 0 and self.command and words[at - 1].lower() in TENS
            front = "-" if behind_tens and word in ONES else SPACE
            last = at == len(words) - 1 and word[-1].isalpha()
            out += pieces.of(front + word + ("." if last else ""))
        return (*out, END)


ONES = frozenset(("one", "two", "three", "four", "five", "six", "seven", "eight", "nine"))


def load_pieces() -> Pieces:
    return Pieces.load(folder() / PIECES)


def commands() -> list[Saying]:
    """Every command that recognisers listen for, in several ways."""
    understander, chance = coach().understander, random.Random("train 1")
    phrases, words = understander.phrases, understander.phrases.words
    texts, safety = set[str](), set[str]()
    for template in phrases.templates:
        if not template.heard or not any(template.heard_in(scope_at(node)) for node in Node):
            continue
        said = {
            said_by(template, phrases, understander.vocabulary, chance) for _ in range(3 * WAYS)
        }
        for text in sorted(said)[:WAYS]:
            spoken = text.split()
            if chance.random() < TOGETHER:
                spoken = words.run_together(spoken)
            if chance.random() < LEAD:
                spoken.insert(0, chance.choice(words.spoken_lead))
            if chance.random() < LEAD:
                spoken.append(chance.choice(words.spoken_tail))
            texts.add(" ".join(spoken))
            if template.intent in SAFETY_IDS:
                safety.add(" ".join(spoken))
    return _mixed((Saying(text, True, text in safety) for text in texts), chance)


def other() -> list[Saying]:
    """Parts of sentences of all kinds, so that the network goes on hearing what is no command.

    Raises SystemExit where Debian's package fortunes is not installed.
    """
    chance, texts = random.Random("train 2"), set[str]()
    for path in sorted(FORTUNES.glob("*")):
        if "." not in path.name and path.name != "ascii-art":
            for saying in path.read_text("utf-8", "ignore").split("\n%\n"):
                texts.update(_parts(saying, chance))
    if not texts:
        raise SystemExit(f"nothing is in {FORTUNES}: apt-get install fortunes")
    return _mixed((Saying(text, False) for text in texts), chance)


def _parts(saying: str, chance: random.Random) -> Iterator[str]:
    for part in re.split(r"(?<=[.?!;:])\s|,\s|\s--\s", re.sub(r"\s+", " ", saying)):
        words = part.strip(" \"'()-").split()
        if not all(re.fullmatch(r"[A-Za-z][a-z']*[.?!,;:]?", word) for word in words):
            continue
        while len(words) > LONGEST:
            cut = chance.randint(2, LONGEST - 3)
            yield " ".join(words[:cut])
            words = words[cut:]
        if sum(map(len, words)) > 3:
            yield " ".join(words)


def _mixed(sayings: Iterator[Saying], chance: random.Random) -> list[Saying]:
    out = sorted(sayings, key=lambda saying: saying.text)
    chance.shuffle(out)
    return out
