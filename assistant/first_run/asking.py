"""Questions on a keyboard: asked until the answer can be read, or answered beforehand."""

from __future__ import annotations

import shutil
import textwrap
from collections.abc import Callable
from typing import TextIO, TypeVar

from assistant.errors import InputError
from assistant.first_run.answers import UnclearError
from intents.lines import Line, Lines

Answer = TypeVar("Answer")

MOST_MISSES = 20
"""Unreadable answers to one question after which nobody is answering (judgement)."""


class Asker:
    """Prints questions to `out` and reads answers from `source`, one line each."""

    def __init__(self, lines: Lines, source: TextIO, out: TextIO) -> None:
        self._lines, self._source, self._out = lines, source, out

    def say(self, line: Line) -> None:
        text = self._lines.render(line)
        if self._out.isatty():
            width = shutil.get_terminal_size().columns
            text = textwrap.fill(text, width, break_on_hyphens=False, break_long_words=False)
        print(text, file=self._out)

    def ask(
        self,
        question: Line,
        read: Callable[[str], Answer],
        *,
        given: str | None = None,
        option: str,
        default: str | None = None,
    ) -> Answer:
        """The answer to a question.

        `given` is what the option of that name said: then nothing is asked, and what can not be
        read raises InputError. An empty line takes the default. Raises InputError where the
        answers end.
        """
        if given is not None:
            try:
                return read(given)
            except UnclearError as error:
                said = self._lines.render(error.line)
                raise InputError(f"{option} {given!r}: {said}") from None
        self.say(question)
        for _ in range(MOST_MISSES):
            hint = f"[{default}] " if default is not None else ""
            print(f"{hint}> ", end="", file=self._out, flush=True)
            text = self._source.readline()
            if not text:
                print(file=self._out)
                raise InputError(
                    f"The answers ended before this question, and nothing was written; answer it, "
                    f"or give {option}."
                )
            if not self._source.isatty():
                # Nobody has seen it being typed.
                print(text.rstrip("\r\n"), file=self._out)
            answer = text.strip() or (default or "")
            try:
                return read(answer)
            except UnclearError as error:
                self.say(error.line)
        raise InputError(f"No answer could be read, and nothing was written; give {option}.")
