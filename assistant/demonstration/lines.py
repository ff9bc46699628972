"""The demonstration's script: what is said when, and the recordings of it."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from importlib import resources
from importlib.resources.abc import Traversable

FOLDER = resources.files("assistant.demonstration")


@dataclass(frozen=True)
class ScriptLine:
    """Words to say after a wait (seconds of the session)."""

    text: str
    wait: float

    @property
    def file(self) -> Traversable:
        """Its recording: 16 kHz mono WAV."""
        return FOLDER / file_name(self.text)


def file_name(text: str) -> str:
    """The recording of a text; the same words share one.

    >>> file_name("i don't have a pipe")
    'i-dont-have-a-pipe.wav'
    """
    return re.sub(r"[^a-z0-9]+", "-", text.replace("'", "")).strip("-") + ".wav"


def script() -> tuple[str, tuple[ScriptLine, ...]]:
    """The voice that spoke, and the lines in order."""
    data = tomllib.loads((FOLDER / "script.toml").read_text(encoding="utf-8"))
    lines = tuple(ScriptLine(line["say"], float(line.get("wait", 0))) for line in data["line"])
    return str(data["voice"]), lines
