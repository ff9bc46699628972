"""The voice: pyttsx3, kept in a process of its own (see `pyttsx3_worker`)."""

from __future__ import annotations

import contextlib
import json
import os
import queue
import re
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path
from typing import Any

from assistant.errors import SpeakingError
from assistant.speaking.port import Sound
from assistant.speaking.pronunciation import for_language
from assistant.speaking.shape import shaped
from assistant.speaking.sound_file import read_sound

START_LIMIT = 20.0
"""Seconds within which a started worker must have answered for the first time."""

RENDER_LIMIT = 8.0
"""Seconds for a rendering, and a further one for each `LETTERS_A_SECOND` letters."""

LETTERS_A_SECOND = 100


@dataclass(frozen=True)
class VoiceInfo:
    """A voice of this machine: `id` is what selects it, `languages` are codes such as en-gb."""

    id: str
    name: str
    languages: tuple[str, ...]

    def speaks(self, language: str) -> bool:
        """Whether it is one for this language (`en` takes en-gb, en_US and the like)."""
        codes = {re.split("[-_]", code.casefold())[0] for code in self.languages}
        return language.casefold() in codes


@dataclass(frozen=True)
class Choice:
    """The voice that speaks, and why that one."""

    info: VoiceInfo
    why: str


class Pyttsx3Voice:
    """Renders through pyttsx3's `save_to_file`. Any thread may call; one rendering at a time.

    `voice` is an id, a name or a language code from `voices()`, in any case; None takes the
    platform's own choice where it speaks `language`, else the first voice that does. It is looked
    up at the first rendering, so that making one is free.
    """

    def __init__(
        self, voice: str | None = None, language: str = "en", *, command: list[str] | None = None
    ) -> None:
        """`command` starts the worker; another one than the real one is for tests."""
        self._wanted = voice
        self._language = language
        # Windows and macOS have voices of their own; everywhere else it is espeak-ng.
        native = sys.platform in ("win32", "darwin")
        self._pronunciation = for_language(language, "" if native else "espeak")
        self._listed: dict[str, Any] | None = None
        self._chosen: Choice | None = None
        self._name: str | None = None
        self._command = command or [sys.executable, "-P", "-m", "assistant.speaking.pyttsx3_worker"]
        self._lock = threading.Lock()
        self._worker: subprocess.Popen[str] | None = None
        self._answers: queue.SimpleQueue[str | None] = queue.SimpleQueue()
        self._folder: tempfile.TemporaryDirectory[str] | None = None

    def render(self, text: str, rate: int) -> Sound:
        """The text as sound at `rate` words a minute, without the silence around it.

        Raises SpeakingError where the voice is unknown, or gives no sound in bounded time.
        """
        if not any(letter.isalnum() for letter in text):
            raise SpeakingError(f"There is nothing to say in {text!r}; write words into the line.")
        with self._lock:
            chosen = self._choose().info.id
            if self._folder is None:
                self._folder = tempfile.TemporaryDirectory(prefix="cuewalk-voice-")
            file = Path(self._folder.name) / "line.wav"
            request = {
                "do": "render",
                "text": self._pronunciation.respelled(text),
                "rate": rate,
                "voice": chosen,
                "file": str(file),
            }
            limit = RENDER_LIMIT + len(text) / LETTERS_A_SECOND
            if self._ask(request, limit):
                data = file.read_bytes()
                file.unlink()
                return shaped(read_sound(data))
        raise SpeakingError(
            f"The voice {chosen!r} gave no sound for {text!r}; choose another "
            "with `voice` in the profile (`cuewalk devices` lists them)."
        )

    @property
    def name(self) -> str:
        """What a rendering depends on beside text and rate, for those who keep renderings.

        On Linux the default voice comes with the wheel, so its name needs no worker; elsewhere
        the user may change the system's choice between two sessions.
        """
        if self._name is None:
            voice = self._wanted or "default"
            if not sys.platform.startswith("linux"):
                voice = self.choice().info.id
            parts = [voice, self._language, self._pronunciation.digest]
            for package in ("pyttsx3", "espeakng-loader"):
                with contextlib.suppress(metadata.PackageNotFoundError):
                    parts.append(metadata.version(package))
            self._name = ":".join(parts)
        return self._name

    def voices(self) -> tuple[VoiceInfo, ...]:
        """Every voice that pyttsx3 finds here."""
        with self._lock:
            return self._voices()

    def choice(self) -> Choice:
        """The voice that speaks. Raises SpeakingError where there is no such voice."""
        with self._lock:
            return self._choose()

    def close(self) -> None:
        """End the worker."""
        with self._lock:
            self._end()
            if self._folder is not None:
                self._folder.cleanup()
                self._folder = None

    def _choose(self) -> Choice:
        """Find the voice, once: pyttsx3 itself is silent about one that there is not."""
        if self._chosen is None:
            self._chosen = self._named(self._wanted) if self._wanted else self._unnamed()
        return self._chosen

    def _named(self, wanted: str) -> Choice:
        by: tuple[Callable[[VoiceInfo], set[str]], ...] = (
            lambda voice: {voice.id},
            lambda voice: {voice.name},
            lambda voice: {voice.id.rpartition("/")[2], *voice.languages},
        )
        for names in by:
            for voice in self._voices():
                if wanted.casefold() in {name.casefold() for name in names(voice)}:
                    return Choice(voice, "the profile asks for it")
        raise SpeakingError(
            f"There is no voice {wanted!r} on this machine; `cuewalk devices` lists those that "
            "there are, and `voice` in the profile chooses one."
        )

    def _unnamed(self) -> Choice:
        voices = self._voices()
        if not voices:
            raise SpeakingError(
                "This machine has no voice; install one in the system's settings (on Debian: "
                "sudo apt install espeak-ng), or train with `--typed`."
            )
        default = self._list()["default"]
        own = next((voice for voice in voices if voice.id == default), voices[0])
        if own.speaks(self._language):
            return Choice(own, "the system's own choice")
        for voice in voices:
            if voice.speaks(self._language):
                return Choice(voice, f"the first that speaks {self._language!r}")
        return Choice(own, f"the system's own choice, as none speaks {self._language!r}")

    def _voices(self) -> tuple[VoiceInfo, ...]:
        return tuple(
            VoiceInfo(voice["id"], voice["name"], tuple(voice["languages"]))
            for voice in self._list()["voices"]
        )

    def _list(self) -> dict[str, Any]:
        if self._listed is None:
            self._listed = self._ask({"do": "voices"}, RENDER_LIMIT)
        return self._listed

    def _ask(self, request: dict[str, Any], limit: float) -> Any:
        """One request to the worker; a worker that hangs or dies is started again, once."""
        for last in (False, True):
            fresh = self._worker is None
            try:
                reply = self._exchange(request, limit + (START_LIMIT if fresh else 0.0))
            except (OSError, queue.Empty, ValueError) as why:
                self._end()
                if last:
                    raise SpeakingError(
                        f"The speech library does not answer ({type(why).__name__}); run "
                        "`cuewalk devices`, or train with `--typed`."
                    ) from why
                continue
            if "error" in reply:
                raise SpeakingError(
                    f"The voice can not speak: {reply['error']}. Run `cuewalk devices`, or "
                    "choose another voice in the profile."
                )
            return reply["ok"]
        raise AssertionError("unreachable")

    def _exchange(self, request: dict[str, Any], limit: float) -> dict[str, Any]:
        if self._worker is None:
            self._start()
        assert self._worker is not None
        assert self._worker.stdin is not None
        self._worker.stdin.write(json.dumps(request) + "\n")
        self._worker.stdin.flush()
        line = self._answers.get(timeout=limit)
        if line is None:
            raise OSError("the worker ended")
        reply: dict[str, Any] = json.loads(line)
        return reply

    def _start(self) -> None:
        # The worker must find this very package, wherever the program was started from.
        path = [str(Path(__file__).parents[2]), os.environ.get("PYTHONPATH", "")]
        environment = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, path))}
        self._worker = subprocess.Popen(
            self._command,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
            encoding="utf-8",
            env=environment,
            # An interrupt at the keyboard is for the program, which then ends its worker itself.
            start_new_session=sys.platform != "win32",
        )
        self._answers = queue.SimpleQueue()
        threading.Thread(
            target=_forward,
            args=(self._worker, self._answers),
            name="voice-answers",
            daemon=True,
        ).start()

    def _end(self) -> None:
        worker, self._worker = self._worker, None
        if worker is None:
            return
        worker.kill()
        worker.wait()
        with contextlib.suppress(OSError):
            assert worker.stdin is not None
            worker.stdin.close()


def _forward(worker: subprocess.Popen[str], answers: queue.SimpleQueue[str | None]) -> None:
    """Lines of the worker as queue entries, so that waiting for one can have a limit."""
    assert worker.stdout is not None
    with worker.stdout as lines:
        for line in lines:
            answers.put(line)
    answers.put(None)
