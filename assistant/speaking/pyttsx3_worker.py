"""The process in which pyttsx3 runs: one request a line in, one answer a line out, as JSON.

pyttsx3 lives in a process of its own because it may hang or crash with the library below it, it
prints to standard output, and on macOS it must have the main thread. A process can be ended and
started again; it starts once a session (some 70 ms), not once a sentence.

Requests: `{"do": "voices"}` and `{"do": "render", "text", "rate", "voice", "file"}`, the voice
being an id from `voices` or null. Answers: `{"ok": …}` or `{"error": "…"}`. The worker ends when
its standard input does, so it never outlives the program that started it.
"""

from __future__ import annotations

import json
import os
import sys
import time
from pathlib import Path
from typing import IO, Any

from assistant.speaking import espeak_library

SETTING_LIMIT = 0.2
"""Seconds that a setting may take to count."""

SETTING_TRIES = 3
"""How often it is set; a driver that then still tells another rate (rounded, say) is believed."""

RENDER_TRIES = 4
"""How often a line is tried; about one in a hundred needs a second one."""

LEAST_BYTES = 200
"""A file with no more than this is a header without sound."""


class _Engine:
    """pyttsx3 with its pitfalls handled; made at the first request."""

    def __init__(self) -> None:
        self.library = espeak_library.prepare()
        import pyttsx3

        self._failures: list[str] = []
        self._engine = pyttsx3.init()
        self._engine.connect("error", self._note)
        self._cut = False
        self._engine.connect("finished-utterance", self._ended)
        # The first runAndWait after init may return before anything is written: spend it on
        # nothing.
        self._engine.runAndWait()
        self.default: str | None = self._engine.getProperty("voice")
        self._voice = self.default
        self._rate: int | None = None

    def _set_rate(self, rate: int) -> None:
        """Set the rate and wait until it counts.

        The espeak driver only queues it, and `runAndWait` begins with a cancelling of the queue
        where anything is still in it: a rate set just before is then lost, now and then.
        """
        if rate == self._rate:
            return
        for _ in range(SETTING_TRIES):
            if self._engine.getProperty("rate") == rate:
                break
            self._engine.setProperty("rate", rate)
            deadline = time.monotonic() + SETTING_LIMIT
            while self._engine.getProperty("rate") != rate and time.monotonic() < deadline:
                time.sleep(0.001)
        # What was set may still be leaving the queue.
        time.sleep(0.002)
        self._rate = rate

    def _note(self, name: object = None, exception: object = None) -> None:
        self._failures.append(str(exception))

    def _ended(self, name: object = None, completed: bool = True) -> None:
        self._cut = self._cut or not completed

    def voices(self) -> dict[str, Any]:
        found = [
            {
                "id": voice.id,
                "name": voice.name,
                # The espeak driver puts a priority byte before the language and a zero after it.
                "languages": [_clean(language) for language in voice.languages or []],
            }
            for voice in self._engine.getProperty("voices")
        ]
        return {"voices": found, "default": self.default, "library": self.library}

    def render(self, text: str, rate: int, voice: str | None, file: str) -> bool:
        """Write the text to `file`, one file at a time: of two queued ones the first is lost."""
        self._failures.clear()
        wanted = voice or self.default
        if wanted is not None and wanted != self._voice:
            self._engine.setProperty("voice", wanted)
            self._voice = wanted
            self._rate = None
        self._set_rate(rate)
        for _ in range(RENDER_TRIES):
            if self._write(text, Path(file)):
                return True
            # Let what disturbed it pass.
            time.sleep(0.01)
        return False

    def _write(self, text: str, file: Path) -> bool:
        """One try; False where the file is missing, empty or cut short.

        `runAndWait` begins with a cancelling of what the driver still holds of the rendering
        before; where that hits the new one instead, its file has no samples, or not all of them.
        The driver tells then that the utterance was not completed.
        """
        self._cut = False
        file.unlink(missing_ok=True)
        self._engine.save_to_file(text, str(file))
        self._engine.runAndWait()
        if self._failures:
            raise RuntimeError("; ".join(self._failures))
        return not self._cut and file.exists() and file.stat().st_size > LEAST_BYTES


def _clean(language: object) -> str:
    text = language.decode("utf-8", "ignore") if isinstance(language, bytes) else str(language)
    return "".join(letter for letter in text if letter.isprintable()).strip()


def answer(engine: _Engine, request: dict[str, Any]) -> object:
    """The answer to one request."""
    if request["do"] == "voices":
        return engine.voices()
    return engine.render(request["text"], request["rate"], request["voice"], request["file"])


def serve(requests: IO[str], answers: IO[str]) -> None:
    """Answer requests until they end; a failure is an answer too."""
    engine: _Engine | None = None
    for line in requests:
        try:
            engine = engine or _Engine()
            reply: dict[str, object] = {"ok": answer(engine, json.loads(line))}
        # Whatever a driver of the platform throws is for the caller to put into words.
        except Exception as failure:
            reply = {"error": f"{type(failure).__name__}: {failure}"}
        answers.write(json.dumps(reply) + "\n")
        answers.flush()


def main() -> None:
    """Keep the real standard output for answers and send all other prints nowhere."""
    answers = os.fdopen(os.dup(1), "w", encoding="utf-8")
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)
    sys.stdout = sys.stderr = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115
    requests = os.fdopen(os.dup(0), "r", encoding="utf-8")
    serve(requests, answers)


if __name__ == "__main__":
    main()
