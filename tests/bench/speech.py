"""How each voice speaks, and how well its seconds are foretold: `python tests/bench/speech.py`.

For every voice that is installed: the seconds of the first rendering (model and lexicon loaded),
the median of a short phrase afterwards, the share of real time over all lines, and by how much
`catalogue.speech` is off. Bars: a short phrase in 50 ms, 0.1 of real time, 0.3 s off a line.
"""

from __future__ import annotations

import json
import re
import statistics
import time

from assistant.coach import lines_of
from assistant.errors import SpeakingError
from assistant.files import builtin_catalogue
from assistant.speaking.choose import bare_voice
from catalogue.speech import USUAL_RATE, seconds_to_say
from catalogue.spoken import spoken_texts

SHORT = "Into position."
FILLED = {"count": "3 sets", "duration": "45 seconds", "word": "left"}


def texts() -> list[str]:
    """The coach's lines with likely values in their slots, and what the catalogue says."""
    lines = [text for texts in lines_of("en").lines.values() for text in texts]
    filled = [
        re.sub(r"\{\w+(?:\|(\w+)[^}]*)?\}", lambda m: FILLED.get(m[1] or "", "pipe stand"), text)
        for text in lines
    ]
    return filled + [text for *_, text in spoken_texts(builtin_catalogue())][::3]


def measured(name: str | None) -> dict[str, float]:
    began = time.perf_counter()
    voice = bare_voice(name)
    voice.render(SHORT, USUAL_RATE)
    first = time.perf_counter() - began
    short = []
    for _ in range(20):
        began = time.perf_counter()
        voice.render(SHORT, USUAL_RATE)
        short.append(time.perf_counter() - began)
    said, told = [], []
    began = time.perf_counter()
    for text in texts():
        said.append(voice.render(text, USUAL_RATE).seconds)
        told.append(seconds_to_say(text, USUAL_RATE))
    took = time.perf_counter() - began
    apart = [abs(a - b) for a, b in zip(said, told, strict=True)]
    return {
        "first_s": round(first, 3),
        "short_ms": round(statistics.median(short) * 1000, 1),
        "share_of_real_time": round(took / sum(said), 4),
        "lines": len(said),
        "seconds_said": round(sum(said), 1),
        "seconds_foretold": round(sum(told), 1),
        "off_a_line_s": round(statistics.mean(apart), 3),
    }


def main() -> None:
    found: dict[str, object] = {"bench": "speech"}
    for name in (None, "natural"):
        try:
            found[name or "standard"] = measured(name)
        except SpeakingError as error:
            found[name or "standard"] = str(error)
    print(json.dumps(found))


if __name__ == "__main__":
    main()
