"""Cutting in over the coach, measured: `python tests/bench/cut_in.py [part ...]`.

Prints one JSON line for each condition. Parts: `echo` (how much of the echo is taken out, and what
a canceller that also suppresses makes of it, where PyPI's pywebrtc-audio is installed), `onsets`
(how soon somebody who speaks is noticed), `false` (how often the coach silences himself), `self`
(what the recogniser makes of the coach, a third of his lines in each room; `self_all`: all of them
in each), `commands` (spoken over the coach, two tries), `cost`.
Rooms, voices, lines and levels are simulated, see `spoken_over.py`; none of those used here were
used to fit anything. Kitchen noise is used where CUEWALK_HEARING_DATA points to it.
"""

from __future__ import annotations

import json
import statistics
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from assistant.attention import ECHO_TAIL, Attention
from assistant.coach import Coach
from assistant.files import builtin_catalogue
from assistant.hearing.cut_in import PATIENCE, CutIn, Duck, Order, Repeat, Silence
from assistant.hearing.ear import Ear
from assistant.hearing.echo import Cleaned
from assistant.hearing.listener import TimedBlock
from assistant.hearing.port import BLOCK, RATE
from assistant.session.events import Heard
from assistant.session.nodes import Node
from assistant.session.scopes import scope_at
from intents.scope import EVERYTHING, Scope
from tests.bench import spoken_over
from tests.bench.hearing.__main__ import embedded
from tests.bench.live_room import LiveRoom
from tests.bench.spoken_over import (
    AHEAD,
    COMMANDS,
    PLACES,
    PYTTSX3,
    REPORTED,
    Place,
    Scene,
    all_lines,
    athlete_says,
    cleaned,
    coach_says,
    kitchen,
    lines_of,
    scene,
)
from tests.room.simulated_room import Floats, hiss

READY, WORK = scope_at(Node.READY), scope_at(Node.WORK)

SOON = 0.2
"""Seconds within which somebody who speaks should be noticed."""

NOISES = (("hiss", -65.0), ("kitchen", -55.0), ("kitchen", -47.0))


def show(part: str, **figures: object) -> None:
    rounded = {k: round(v, 2) if isinstance(v, float) else v for k, v in figures.items()}
    print(json.dumps({"bench": "cut_in", "part": part, **rounded}), flush=True)


def noise_of(kind: str) -> Floats | None:
    return kitchen() if kind == "kitchen" else None


def in_words(place: Place) -> str:
    return (
        f"{place.reverberation} s, {place.distance} m, {place.distortion} distorted, "
        f"{place.coach:.0f} dBov"
    )


def decibels(whole: Floats, rest: Floats) -> float:
    return float(10 * np.log10(np.sum(whole**2) / max(np.sum(rest**2), 1e-9)))


def echo() -> None:
    """Echo return loss enhancement, by the seconds since the session's first word."""
    lines = lines_of(REPORTED)
    for number, place in enumerate(PLACES):
        made = scene(place, lines, PYTTSX3, 400 + number, seconds=20.0)
        over = scene(place, lines, PYTTSX3, 400 + number, seconds=40.0, athletes=REPORTED.athletes)
        clean = np.concatenate([block.samples for block in cleaned(made)]).astype(float)
        left = np.concatenate([block.samples for block in cleaned(over)]).astype(float)
        spoken = np.zeros(len(left), bool)
        for begin, end, _ in over.athlete:
            spoken[begin:end] = True
        size = len(left)
        show(
            "echo",
            place=in_words(place),
            first_1_5_s=_between(made, clean, 0.5, 2.0),
            to_3_5_s=_between(made, clean, 2.0, 3.5),
            to_6_5_s=_between(made, clean, 3.5, 6.5),
            after=_between(made, clean, 6.5, 20.0),
            while_athlete_speaks=decibels(
                over.echo[:size][spoken], (left - over.near[:size])[spoken]
            ),
            **_suppressing(made, over, spoken),
        )


def _between(made: Scene, clean: Floats, begin: float, end: float) -> float:
    piece = slice(round(begin * RATE), round(end * RATE))
    return decibels(made.echo[piece], clean[piece])


def _suppressing(made: Scene, over: Scene, spoken: np.ndarray) -> dict[str, float]:
    """The same of WebRTC's canceller, which suppresses what its filter leaves; and how much of the
    athlete's own sound it takes along."""
    try:
        from pywebrtc_audio import EchoCanceller as Suppressing
    except ImportError:
        return {}
    outs = []
    for one in (made, over):
        own = Suppressing(RATE, 1, 0)
        parts = [
            own.process(
                one.heard[i : i + BLOCK].astype(np.int16),
                one.played[i : i + BLOCK].astype(np.int16),
            )
            for i in range(0, len(one.heard) - BLOCK + 1, BLOCK)
        ]
        outs.append(np.concatenate(parts).astype(float))
    near = over.near[: len(outs[1])][spoken]
    return {
        "suppressing_after": _between(made, outs[0], 6.5, 20.0),
        "suppressing_takes_of_athlete": decibels(near, outs[1][spoken]),
    }


def onsets() -> None:
    lines = lines_of(REPORTED)
    for kind, noise_level in NOISES:
        for relative in (6.0, 0.0, -6.0):
            soon: list[float] = []
            missed = 0
            for number, place in enumerate(PLACES):
                if noise_level > place.coach + relative - 15:
                    continue  # no command would be understood there anyway
                for seed in REPORTED.seeds:
                    made = scene(
                        place,
                        lines,
                        REPORTED.coaches[(number + seed) % len(REPORTED.coaches)],
                        seed * 100 + number,
                        noise=noise_of(kind),
                        noise_level=noise_level,
                        athletes=REPORTED.athletes,
                        relative=relative,
                    )
                    found = latencies(made)
                    soon += [late for late in found if late is not None]
                    missed += found.count(None)
            count = len(soon) + missed
            show(
                "onsets",
                noise=kind,
                noise_level=noise_level,
                athlete_to_coach=relative,
                commands=count,
                median_ms=1000 * statistics.median(soon),
                p95_ms=1000 * float(np.percentile(soon + [9.0] * missed, 95)),
                within_200_ms=sum(late <= SOON for late in soon) / count,
                missed=missed / count,
            )


def latencies(made: Scene) -> list[float | None]:
    """For every command the seconds from its onset to the order to silence; None without one.

    Each command is judged by a machine that hears the coach start with it, so that one early
    silence does not swallow the rest.
    """
    blocks = list(cleaned(made))
    out: list[float | None] = []
    for begin, end, _ in made.athlete:
        cut_in = CutIn()
        cut_in.coach_started(0.0)
        out.append(None)
        first = begin // BLOCK
        for block in blocks[first : (end + RATE // 5) // BLOCK]:
            if any(isinstance(order, Silence) for order in cut_in.block(block)):
                out[-1] = block.at + BLOCK / RATE - begin / RATE
                break
    return out


def false() -> None:
    """All lines in every voice, at the level of a command and 6 dB above, nobody there."""
    for kind, noise_level in NOISES:
        for voice in (PYTTSX3, "kal16", "awb", "rms", "slt"):
            for number, place in ((1, PLACES[1]), (2, PLACES[2]), (5, PLACES[5])):
                made = everything(place, voice, 700 + number, noise_of(kind), noise_level)
                counts = false_orders(made, list(cleaned(made)))
                show(
                    "false",
                    coach=voice,
                    place=in_words(place),
                    noise=kind,
                    noise_level=noise_level,
                    minutes=made.seconds / 60,
                    silenced=counts[0],
                    turned_down=counts[1],
                    silenced_an_hour=counts[0] / made.seconds * 3600,
                )


def everything(
    place: Place, voice: str, seed: int, noise: Floats | None, noise_level: float
) -> Scene:
    """All lines, each at least once."""
    lines = all_lines()
    seconds = sum(len(coach_says(line, voice)) / RATE + 0.7 for line in lines)
    return scene(place, lines, voice, seed, seconds=seconds, noise=noise, noise_level=noise_level)


def false_orders(made: Scene, blocks: list[Cleaned]) -> tuple[int, int]:
    """How often the coach would fall silent, and how often he would be turned down."""
    cut_in = CutIn()
    silenced = ducked = 0
    spans = iter(made.coach)
    begin, end = next(spans, (0, 0))
    speaking = False
    for block in blocks:
        now = round(block.at * RATE)
        if not speaking and begin <= now < end:
            cut_in.coach_started(block.at)
            speaking = True
        if speaking and now >= end:
            cut_in.coach_ended(block.at)
            speaking = False
            begin, end = next(spans, (1 << 60, 1 << 60))
        for order in cut_in.block(block):
            ducked += isinstance(order, Duck)
            if isinstance(order, Silence):
                silenced += 1
                # The coach goes on in this recording: he is taken to have begun again.
                cut_in.utterance(False, block.at)
                cut_in.coach_started(block.at)
    return silenced, ducked


def self_hearing(every: int = 3) -> None:
    """What would be acted on of the coach's own voice, everything being in scope: in each room he
    says every third line that there is, and is silenced where he seems to be spoken over."""
    coach = Coach.of(builtin_catalogue(), "en")
    for voice in (PYTTSX3, "slt"):
        for number, place in enumerate((PLACES[2], PLACES[1], PLACES[7])):
            lines = all_lines()[number % every :: every]
            session = Session(LiveRoom(place, 800), coach, lines, np.random.default_rng(0), voice)
            session.listen_at(EVERYTHING)
            heard = [event for line in lines for event in session.alone(line)]
            show(
                "self",
                coach=voice,
                place=in_words(place),
                minutes=session.room.now / 60,
                silenced=session.silences,
                utterances=len(heard),
                acted_on=[event.text for event in heard if event.decision != "pass"],
            )


def heard_by(ear: Ear, made: Scene) -> Iterator[TimedBlock]:
    """What the recogniser hears of a scene."""
    ahead = iter(range(0, len(made.played), BLOCK))
    for begin in range(0, len(made.heard) - BLOCK + 1, BLOCK):
        for told in ahead:
            ear.played(made.played[told : told + BLOCK].astype(np.int16), told / RATE)
            if told >= begin + AHEAD:
                break
        yield from ear.hear(made.heard[begin : begin + BLOCK].astype(np.int16), begin / RATE)


@dataclass
class Tally:
    """What came of the commands spoken over the coach."""

    commands: int = 0
    first: int = 0
    second: int = 0
    wrong: int = 0
    """Another meaning acted."""
    asked: int = 0
    """Another meaning was asked about."""
    silent: list[float] = field(default_factory=list)
    """Seconds from an onset until the loudspeaker is silent, the fading included."""


def commands() -> None:
    """Commands spoken over the coach; said once more where nothing came of them."""
    coach = Coach.of(builtin_catalogue(), "en")
    lines = [line for line in lines_of(REPORTED) if len(coach_says(line, PYTTSX3)) > 2 * RATE]
    for kind, noise_level in NOISES[:2]:
        for relative in (12.0, 0.0, -6.0):
            tally = Tally()
            for seed, place in enumerate((PLACES[0], PLACES[2], PLACES[3])):
                room = LiveRoom(place, 900 + seed, noise_of(kind), noise_level)
                session = Session(room, coach, lines, np.random.default_rng(seed))
                session.warm_up()
                for voice in ("slt", "rms"):
                    for text in COMMANDS:
                        session.command(text, voice, place.coach + relative, tally)
            show(
                "commands",
                noise=kind,
                noise_level=noise_level,
                athlete_to_coach=relative,
                commands=tally.commands,
                heard_at_once=tally.first / tally.commands,
                heard_within_two=(tally.first + tally.second) / tally.commands,
                wrong=tally.wrong / tally.commands,
                asked=tally.asked / tally.commands,
                silent_within_300_ms=sum(s <= 0.3 for s in tally.silent) / tally.commands,
                silent_median_ms=1000 * statistics.median(tally.silent),
            )


class Session:
    """The coach with his ear in a room, and an athlete who speaks over him."""

    def __init__(
        self,
        room: LiveRoom,
        coach: Coach,
        lines: list[str],
        chance: np.random.Generator,
        voice: str = PYTTSX3,
    ) -> None:
        self.room, self.coach, self.lines, self.chance = room, coach, lines, chance
        self.voice = voice
        self.ear = Ear(self._ordered)
        self.recogniser = embedded()
        self.attention = Attention(coach.understander, self._saying)
        self.listen_at(READY)
        self.silences, self._silent = 0, False
        self.line = ""
        self._said: list[tuple[str, float, float]] = []
        """Lines with their beginning and end."""

    def listen_at(self, scope: Scope) -> None:
        """Listen for what can be said here."""
        self.scope = scope
        self.recogniser.listen_for(self.coach.grammar(scope))

    def warm_up(self) -> None:
        for _ in range(3):
            self._say(self._any_line())
            while self.room.coach_speaks:
                self._step()
            self._wait(0.5)

    def alone(self, line: str) -> list[Heard]:
        """One line to its end, however often it is begun, nobody else being there."""
        self._say(line)
        heard, quiet = list[Heard](), 0
        while quiet < (PATIENCE + 0.5 if self._silent else 1.0) * RATE / BLOCK:
            heard += self._step()
            quiet = 0 if self.room.coach_speaks else quiet + 1
        return heard

    def command(self, text: str, voice: str, loud: float, tally: Tally) -> None:
        """One command over a line, and once more where nothing came of it."""
        meant = self.coach.understand
        self.listen_at(next(s for s in (READY, WORK) if meant(text, s).decision == "act"))
        wanted = meant(text, self.scope).meanings
        sound, first = athlete_says(text, voice, loud, 77)
        tally.commands += 1
        self._say(self._any_line())
        self._wait(self.chance.uniform(0.4, 1.2))
        for attempt in range(2):
            onset = self.room.now + first / RATE
            spoke_over = self.room.coach_speaks
            self.room.speak(sound)
            told = self._until_understood(len(sound) / RATE + 1.6)
            if attempt == 0 and spoke_over:
                tally.silent.append(self.room.silent_from - onset)
            if told is not None:
                right = told.meanings == wanted
                tally.wrong += not right and told.decision == "act"
                tally.asked += not right and told.decision == "confirm"
                tally.first += right and attempt == 0
                tally.second += right and attempt == 1
                break
        self.ear.utterance(True, self.room.now)
        self.room.hush()
        self._wait(1.5)

    def _until_understood(self, seconds: float) -> Heard | None:
        """What was acted on or asked about within so many seconds."""
        end = self.room.now + seconds
        while self.room.now < end:
            for event in self._step():
                if event.decision != "pass":
                    return event
        return None

    def _say(self, line: str) -> None:
        self.line, self._silent = line, False
        began = self.room.say(line, self.voice)
        self._said.append((line, began, np.inf))
        self.ear.coach_started(began)

    def _saying(self, at: float) -> list[str]:
        return [line for line, began, end in self._said[-5:] if began <= at <= end + ECHO_TAIL]

    def _wait(self, seconds: float) -> None:
        end = self.room.now + seconds
        while self.room.now < end:
            self._step()

    def _step(self) -> list[Heard]:
        """30 ms; what was heard meanwhile."""
        spoke = self.room.coach_speaks
        told, (block, at) = self.room.step()
        self.ear.played(*told)
        if spoke and not self.room.coach_speaks:
            self.ear.coach_ended(self.room.now)
            line, began, _ = self._said[-1]
            self._said[-1] = (line, began, self.room.now)
        utterances = [
            utterance
            for sound, when in self.ear.hear(block, at)
            for utterance in self.recogniser.accept(sound, when)
        ]
        events = [self.attention.judge(one, self.scope, self.room.now) for one in utterances]
        events.append(self.attention.ripe(self.scope, self.room.now))
        heard = [event for event in events if event is not None]
        for event in heard:
            self.ear.utterance(event.decision != "pass", self.room.now)
        return heard

    def _ordered(self, order: Order) -> None:
        if isinstance(order, Silence):
            self.silences += 1
            self._silent = True
            self.room.hush()
        elif isinstance(order, Repeat):
            self._say(self.line)

    def _any_line(self) -> str:
        return self.lines[self.chance.integers(len(self.lines))]


def cost() -> None:
    """Share of one core that the ear takes, while the coach speaks and while he does not."""
    made = scene(PLACES[2], lines_of(REPORTED), PYTTSX3, 1, seconds=40.0)
    quiet = Scene(np.zeros(40 * RATE), hiss(40 * RATE, -65.0, 1), np.zeros(0), np.zeros(0))
    for name, one in (("coach speaks", made), ("nothing is played", quiet)):
        ear = Ear()
        began = time.process_time()
        count = sum(len(sound) for sound, _ in heard_by(ear, one))
        spent = time.process_time() - began
        show("cost", case=name, share_of_core=round(spent / (len(one.heard) / RATE), 4), out=count)


PARTS: dict[str, Callable[[], None]] = {
    "echo": echo,
    "onsets": onsets,
    "false": false,
    "self": self_hearing,
    "self_all": lambda: self_hearing(every=1),
    "commands": commands,
    "cost": cost,
}


def main() -> None:
    for name in sys.argv[1:] or PARTS:
        PARTS[name]()
    spoken_over.close()


if __name__ == "__main__":
    main()
