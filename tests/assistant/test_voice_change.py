"""Another voice, from the athlete's words to what the loudspeaker gets."""

from __future__ import annotations

import time

import numpy as np

from assistant.coach import lines_of
from assistant.session.effects import Say, SetVoice
from assistant.speaking.cache import RenderCache
from assistant.speaking.port import Sound
from assistant.speaking.silent import SilentLoudspeaker
from assistant.speaking.voice_box import VoiceBox
from assistant.spoken_output import SpokenOutput
from intents.lines import Line
from tests.assistant.session.test_talk import play_of


class Tone:
    """A voice of one frequency."""

    def __init__(self, name: str, value: int) -> None:
        self.name, self.value = name, value

    def render(self, text: str, rate: int) -> Sound:
        return Sound(np.full(160, self.value, np.int16), 16_000)


class Heard(SilentLoudspeaker):
    """Keeps the first sample of all that it is given."""

    def __init__(self) -> None:
        super().__init__(time.monotonic, threaded=False)
        self.samples: list[int] = []

    def say(self, sound: Sound, tag: str, ends_at: float | None = None) -> None:
        self.samples.append(int(sound.samples[0]))
        super().say(sound, tag, ends_at)


class Nothing:
    """A screen that nobody looks at."""

    def coach(self, text: str) -> None: ...
    def note(self, text: str) -> None: ...


def test_the_next_line_is_said_by_the_voice_that_was_asked_for() -> None:
    voices = {"standard": Tone("standard", 1), "natural": Tone("natural", 2)}
    box = VoiceBox(("standard", "natural"), lambda name: RenderCache(None, voices[name]))
    loudspeaker = Heard()
    output = SpokenOutput(
        lines_of("en").render,
        box,
        loudspeaker,
        Nothing(),  # type: ignore[arg-type]
        listen=lambda scope: None,
        finished=lambda tag, whole: None,
        rate=165,
        use_voice=box.use,
    )
    output.perform(Say("before", Line("ready.ask")), 0.0)
    while not loudspeaker.samples:
        time.sleep(0.01)
    play = play_of(voices=box.voices).open()
    play.say("other_voice")
    for effect in play.last:
        if isinstance(effect, Say | SetVoice):
            output.perform(effect, 0.0)
    output.close()
    box.close()
    assert loudspeaker.samples == [1, 2]
