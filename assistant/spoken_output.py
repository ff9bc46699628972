"""The live output: lines rendered and played, marks on the audio clock, scopes to the listener.

Rendering happens on a thread of its own, so that the session never waits for a voice; a line that
can not be rendered is shown, and counts as said.
"""

from __future__ import annotations

import logging
import queue
import threading
from collections.abc import Callable
from dataclasses import dataclass

from assistant.errors import SpeakingError
from assistant.screen.port import Screen
from assistant.session.effects import (
    Beep,
    DropMarks,
    Effect,
    Hush,
    Listen,
    Say,
    SetVoice,
    Show,
)
from assistant.session.events import SpeechFinished
from assistant.speaking.earcons import earcon
from assistant.speaking.port import Loudspeaker, Voice
from intents.lines import Line
from intents.scope import Scope

log = logging.getLogger("cuewalk.speaking")

Finished = Callable[[str, bool], None]


@dataclass(frozen=True)
class _Order:
    say: Say
    text: str
    rate: int
    generation: int


class SpokenOutput:
    """Carries out a session's orders with a voice and a loudspeaker."""

    def __init__(
        self,
        render: Callable[[Line], str],
        voice: Voice,
        loudspeaker: Loudspeaker,
        screen: Screen,
        listen: Callable[[Scope], None],
        finished: Finished,
        rate: int,
        show: Callable[[Show], None] = lambda show: None,
        use_voice: Callable[[str], None] = lambda voice: None,
    ) -> None:
        self._render = render
        self._voice = voice
        self._use_voice = use_voice
        self._loudspeaker = loudspeaker
        self._screen = screen
        self._listen = listen
        self._finished = finished
        self._rate = rate
        self._show = show
        self._generation = 0
        self._lock = threading.Lock()
        self._orders: queue.SimpleQueue[_Order | None] = queue.SimpleQueue()
        self.texts: dict[str, str] = {}
        """What each tag of speech says, for the echo gate."""
        self._whole: set[str] = set()
        """Tags of the lines that are to be said to their end."""
        loudspeaker.on_finished(self._ended)
        self._thread = threading.Thread(target=self._speak, name="speaking", daemon=True)
        self._thread.start()

    def perform(self, effect: Effect, at: float) -> None:
        if isinstance(effect, Say):
            text = self._render(effect.line)
            self._screen.coach(text)
            self.texts[effect.tag] = text
            if not effect.interruptible or effect.ends_at is not None:
                self._whole.add(effect.tag)
            self._orders.put(_Order(effect, text, self._rate, self._generation))
        elif isinstance(effect, Hush):
            with self._lock:
                self._generation += 1
                self._loudspeaker.hush()
        elif isinstance(effect, Beep):
            self._loudspeaker.mark(earcon(effect.mark), effect.due, effect.mark)
        elif isinstance(effect, DropMarks):
            self._loudspeaker.drop_marks()
        elif isinstance(effect, SetVoice):
            self._rate = effect.rate
            self._use_voice(effect.voice)
            self._loudspeaker.set_volume(effect.volume)
        elif isinstance(effect, Listen):
            self._listen(effect.scope)
        elif isinstance(effect, Show):
            self._show(effect)

    def interruptible(self, tag: str) -> bool:
        """Whether somebody who speaks over this line silences it."""
        return tag not in self._whole

    def close(self) -> None:
        self._orders.put(None)
        self._thread.join(5.0)

    def _speak(self) -> None:
        while (order := self._orders.get()) is not None:
            if order.generation != self._generation:
                continue
            try:
                sound = self._voice.render(order.text, order.rate)
            except Exception as error:
                # Whatever it is that a voice fails with, the session must hear that the line is
                # over: it waits for that.
                if not isinstance(error, SpeakingError):
                    log.exception("%r could not be said", order.text)
                self._screen.note(str(error))
                self._finished(order.say.tag, False)
                continue
            with self._lock:
                # A hush while this line was being rendered takes it back too.
                if order.generation == self._generation:
                    self._loudspeaker.say(sound, order.say.tag, order.say.ends_at)

    def _ended(self, tag: str, whole: bool) -> None:
        self._finished(tag, whole)


def finished_event(tag: str, whole: bool) -> Callable[[float], SpeechFinished]:
    """The happening of speech that ended."""
    return lambda at: SpeechFinished(at, tag, whole)
