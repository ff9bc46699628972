"""Whole sessions of the real program, broken off with SIGKILL at any moment and taken up again.

A session is killed, started again and killed again until it comes to its end. After every kill the
record has to open, with every set in it that had been shown as logged; the next start has to offer
to go on; and in the end the record has to hold what one session without a kill leaves: the same
movements, sets, sides and amounts, each once.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from random import Random

from assistant.record.store import Store
from assistant.session.facts import SetLogged
from tests.assistant.commands.answering import Program, home_in

LONGEST = 60.0
"""Seconds in which a session at this speed must have come to its end."""

Set = tuple[str, int, str, float]
"""Movement, set, side and amount."""


@dataclass(frozen=True)
class Way:
    """A way to train: starts the program in a home, with the words that name catalogue and
    profile, and is killed at most so many seconds after its first line."""

    start: Callable[[Path, Sequence[str]], Program]
    window: float


def _typed(home: Path, words: Sequence[str]) -> Program:
    return Program(home, "--typed", "--at", "120", *words)


TYPED = Way(_typed, 1.5)


def on_a_full_disk(seed: int) -> Way:
    """The disk fills up somewhere in the session, which ends it as a kill does."""
    random = Random(seed)

    def start(home: Path, words: Sequence[str]) -> Program:
        room = random.randint(4_000, 120_000)
        return Program(home, "--typed", "--at", "120", *words, room=room)

    return Way(start, 1e6)


@dataclass
class Broken:
    """What a run of kills came to."""

    kills: int = 0
    before_record: int = 0
    resumed: int = 0
    sessions: int = 0
    shown: int = 0
    lost: int = 0


def logged(home: Path, session: int = 1) -> list[Set]:
    """The sets on record, read as any reader of the file would."""
    with Store.open(home / "record.db", read_only=True) as store:
        return [
            (f.movement, f.number, f.side, f.seconds or f.reps or f.metres or 0)
            for f in store.facts(session)
            if isinstance(f, SetLogged)
        ]


def shown_amounts(lines: Sequence[str]) -> list[int]:
    """The amounts that were said to be logged, in the order in which they were."""
    said = [line for line in lines if re.match(r"coach: .*\b[Ll]ogged\b", line)]
    return [int(re.findall(r"\d+", line)[0]) for line in said]


def undisturbed(folder: Path) -> list[Set]:
    """What a session leaves that nobody breaks off."""
    program = TYPED.start(folder, home_in(folder))
    assert program.wait(LONGEST) == 0, program.lines
    return logged(folder)


def break_off(
    folder: Path,
    random: Random,
    whole: Sequence[Set],
    told: Broken,
    kills: int,
    way: Way,
) -> None:
    """One session to its end, through at most `kills` kills; `told` counts.

    It begins in the way given, and is taken up again typed.
    """
    words = home_in(folder)
    begun, before = False, 0
    while True:
        now_by = TYPED if begun or not kills else way
        program = now_by.start(folder, words)
        if not kills:
            assert program.wait(LONGEST) == 0, program.lines
            ended = True
        else:
            # Some while it starts or opens the record, most while it trains.
            if random.random() < 0.85:
                program.began.wait(LONGEST)
            code = program.wait(random.random() ** 2 * now_by.window)
            ended = code is not None
            if code:
                assert "the disk is full" in program.lines[-1], program.lines
                ended = False
        if not ended:
            program.kill()
            kills -= 1
            told.kills += 1
        offered = any("We broke off" in line for line in program.lines)
        if begun and program.lines:
            assert offered, f"not taken up again: {program.lines}"
            told.resumed += 1
        assert not any("Traceback" in line or "damaged" in line for line in program.lines)
        if not (folder / "record.db").exists():
            assert not any(line.startswith("coach:") for line in program.lines)
            told.before_record += 1
            continue
        with Store.open(folder / "record.db") as store:
            # Whoever heard the coach is on record, and the open session is the one to go on with.
            begun = bool(store.sessions())
            over = begun and store.unfinished() is None
        now = logged(folder) if begun else []
        shown = shown_amounts(program.lines)
        told.shown += len(shown)
        kept = [round(amount) for *_, amount in now[before:]]
        told.lost += kept[: len(shown)] != shown
        assert kept[: len(shown)] == shown, f"said to be logged {shown}, on record {kept}"
        assert len(kept) - len(shown) in (0, 1), "more than the one about to be said"
        assert now == list(whole[: len(now)]), f"{now} is not how this goes: {whole}"
        before = len(now)
        if over:
            assert now == list(whole)
            told.sessions += 1
            return
        assert not ended


def run(
    folder: Path,
    kills: int,
    seed: int,
    whole: Sequence[Set],
    way: Way = TYPED,
    at_most: int = 8,
) -> Broken:
    """Sessions killed up to `at_most` times each, until there were so many kills.

    `whole` is what a session leaves that is `undisturbed`.
    """
    random, told = Random(seed), Broken()
    assert len(whole) >= 8
    while told.kills < kills:
        home = folder / f"session-{told.sessions}"
        each = min(random.randint(1, at_most), kills - told.kills)
        break_off(home, random, whole, told, each, way)
    return told
