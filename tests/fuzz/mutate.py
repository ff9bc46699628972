"""Changes an input at random: for a machine without a coverage-guided fuzzer, and for quick runs.

>>> from random import Random
>>> mutate(Random(3), [b"seconds = 30"], ("[[skill]]",), 40) != b"seconds = 30"
True
"""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

ODD = (b"\0", b"\xff", b"\xfe\xff", b"\xed\xa0\x80", "\u202e".encode(), b"\x1b[2J", b"9" * 30)


def mutate(random: Random, seeds: Sequence[bytes], words: Sequence[str], longest: int) -> bytes:
    """One to eight changes of a seed: bits, pieces gone, moved or doubled, words of the format."""
    data = bytearray(random.choice(seeds))
    for _ in range(random.choice((1, 1, 2, 4, 8))):
        at = random.randrange(len(data) + 1)
        to = min(len(data), at + random.choice((1, 2, 8, 64, 512)))
        match random.randrange(7):
            case 0 if at < len(data):
                data[at] ^= 1 << random.randrange(8)
            case 1:
                del data[at:to]
            case 2:
                data[at:at] = data[at:to] * random.choice((1, 2, 50))
            case 3:
                data[at:to] = random.choice((*ODD, random.randbytes(to - at)))
            case 4 if words:
                data[at:at] = random.choice(words).encode()
            case 5:
                other = random.choice(seeds)
                data[at:to] = other[at:to]
            case _:
                # A number becomes another.
                data[at:to] = random.choice((b"0", b"-1", b"1e400", b"4294967296", b"nan"))
    return bytes(data[:longest])
