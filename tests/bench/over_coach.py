"""Spoken over the coach, whole program: `python tests/bench/over_coach.py [ECHO [ENGINE]]`.

In the virtual room the microphone hears the loudspeaker, ECHO (0 to 1, cubic as PulseAudio has it)
loud; 0.7 is about the level of the commands. First the coach speaks alone: whatever the program
takes for words then is its own voice. Then commands are spoken over a line of the coach, each once
more where nothing came of it. Bars: no reaction to the coach's own voice; nine of ten commands
heard within two tries; the coach silent within 300 ms of the command's onset. Needs PulseAudio and
flite, as tests/room does.
"""

from __future__ import annotations

import json
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
import soxr

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from assistant.hearing.port import RATE, Samples
from assistant.hearing.wave import read_wave
from tests.bench.live import OPENING, PROFILE, QUIET, answered, captions, start
from tests.room.listening import Heard, listening
from tests.room.virtual_room import RATE as ROOM_RATE
from tests.room.virtual_room import VirtualRoom

COMMANDS = (
    ("what comes next", "Next"),
    ("how long is left", "minutes"),
    ("what can i say", "You can say"),
    ("louder", "ouder"),
    ("quieter", "uieter"),
) * 3
"""What is said, and a part of the answer."""

OPENER, OPENED = "what can i say", 3.2
"""What has the coach speak for long, and the seconds after which he does."""

AUDIBLE = 0.03
"""Of full scale: from here on a command is heard."""


def main() -> None:
    echo = float(sys.argv[1]) if len(sys.argv) > 1 else 0.7
    engine = sys.argv[2] if len(sys.argv) > 2 else None
    own = first = second = 0
    with tempfile.TemporaryDirectory() as name, VirtualRoom() as room, room.echo(echo):
        folder = Path(name)
        (folder / "me.toml").write_text(PROFILE)
        with listening(room, "room.monitor") as coach, listening(room, "mouth.monitor") as mouth:
            program = start(room, folder, engine)
            told = captions(program)
            answered(room, told, *OPENING[0])
            time.sleep(30.0)
            own += acted_on(told)
            for answer, then in OPENING[1:]:
                answered(room, told, answer, then)
            time.sleep(QUIET)
            before = acted_on(told)
            spoken = []
            for text, answer in COMMANDS:
                room.speak_text(OPENER)
                time.sleep(OPENED)
                at = len(told)
                spoken.append((text, time.monotonic()))
                for attempt in range(2):
                    room.speak_text(text)
                    time.sleep(2.5)
                    if any(answer.lower() in line.lower() for line in told[at:]):
                        first += attempt == 0
                        second += attempt == 1
                        break
                time.sleep(QUIET)
            heard = acted_on(told) - before
            program.kill()
            program.wait()
        silent = silences(
            coach,
            [onset(mouth, read_wave(room.voice_file(text)), after) for text, after in spoken],
        )
        print(
            json.dumps(
                {
                    "bench": "over_coach",
                    "engine": engine or "best",
                    "echo": echo,
                    "echo_dbov": level_of(mouth, coach.sounds(above=0.005, gap=0.3)[0]),
                    "command_dbov": level_of(mouth, loudest(mouth)),
                    "own_voice": own,
                    "commands": len(COMMANDS),
                    "heard_at_once": first,
                    "heard_within_two": first + second,
                    "acted_on": heard,
                    "silent_median_ms": round(1000 * float(np.median(silent))),
                    "silent_within_300_ms": int(sum(s <= 0.3 for s in silent)),
                    "silent_counted": len(silent),
                }
            )
        )


def acted_on(told: list[str]) -> int:
    """How often something was taken for a command: what was not stands in brackets."""
    return sum(line.startswith("athlete: ") and "(" not in line for line in told)


def onset(mouth: Heard, command: Samples, after: float) -> float:
    """When a command that was played after some moment began to sound: where the microphone's
    sound is most like it, since the coach is in there too."""
    voice = command / 32768
    first = mouth.index_of(after)
    piece = mouth.samples[first : mouth.index_of(after + len(voice) / RATE + 2.0)]
    lag = int(np.argmax(np.correlate(soxr.resample(piece, ROOM_RATE, RATE), voice, "valid")))
    audible = int(np.flatnonzero(np.abs(voice) > AUDIBLE)[0])
    return mouth.time_of(first) + (lag + audible) / RATE


def silences(coach: Heard, onsets: list[float]) -> list[float]:
    """Seconds from each onset until the loudspeaker is silent for a quarter of a second."""
    sounds = coach.sounds(above=0.005, gap=0.25)
    return [end - onset for onset in onsets for begin, end in sounds if begin < onset < end]


def loudest(mouth: Heard) -> tuple[float, float]:
    """Begin and end of the loudest second in the microphone: it has a command in it."""
    moments = np.arange(mouth.began, mouth.time_of(len(mouth.samples)) - 1.0, 0.5)
    best = max(moments, key=lambda moment: mouth.level(moment, moment + 1.0))
    return best, best + 1.0


def level_of(heard: Heard, span: tuple[float, float]) -> float:
    """Level of up to a second of a sound, in dBov."""
    begin, end = span
    return round(20 * float(np.log10(max(heard.level(begin, min(end, begin + 1.0)), 1e-6))), 1)


if __name__ == "__main__":
    main()
