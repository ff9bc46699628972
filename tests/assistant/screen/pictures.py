"""Invented moments of a session, for pictures of the screen."""

from __future__ import annotations

from assistant.language import language_text
from assistant.screen.chat import Chat
from assistant.screen.view import View
from intents.lines import Line, Lines

LINES = Lines.load(language_text("en", "lines"), language_text("en", "reasons"))
ABOUT = (
    Line("screen.block", {"n": 3, "of": 9, "name": "fingertip ride"}),
    Line("screen.set", {"n": 1, "of": 2}),
)
BEFORE = (Line("screen.session", {"athlete": "Robin", "minutes": 30}),)
MOMENTS = {
    "hold": View("hold", "work", until=38.0, side="left", about=ABOUT),
    "rest": View("rest", "rest", until=45.0, about=ABOUT),
    "turns": View("count", "work", number=6, unit="×", side="right", about=ABOUT),
    "ready": View("ready", "ready", number=30, side="left", about=ABOUT),
    "switch": View("switch", "switch", until=9.0, side="right", about=ABOUT),
    "paused": View("paused", "paused", number=12, about=ABOUT),
    "question": View("pain", "question", about=BEFORE),
    "help": View("unwell", "stop"),
}  # fmt: skip


def chat() -> Chat:
    said = Chat()
    said.add("note", "recogniser: pocketsphinx with its own model")
    said.add("coach", "Movement 3 of 9: fingertip ride.")
    said.add("coach", "Use a rigid pipe on a dry floor that grips, and wear shoes or bare feet, "
                      "never socks.")  # fmt: skip
    said.add("athlete", "I don't have a wall, is there anything else that I could do today?")
    said.add("coach", "30 seconds on each side, 2 sets. Hold still.")
    said.add("athlete", "start")
    said.add("coach", "Left side. Into position.")
    return said
