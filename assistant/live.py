"""A session in the room: microphone, recogniser, voice, loudspeaker and clock, put together."""

from __future__ import annotations

import logging
import threading
from collections.abc import Sequence
from dataclasses import dataclass, replace

from assistant.attention import ECHO_TAIL, Attention
from assistant.clock import SessionClock
from assistant.coach import Coach
from assistant.errors import HearingError
from assistant.hearing.listener import Listener
from assistant.hearing.microphone import Microphone
from assistant.hearing.port import Recogniser, Utterance
from assistant.level_check import ASKED, SECONDS, get_ready, hear_word, since
from assistant.loop import Loop
from assistant.preparing import Prepared
from assistant.runner import Recorder, Runner
from assistant.screen.port import Screen
from assistant.session.effects import Say
from assistant.session.events import AudioFound, AudioLost, Event, Heard
from assistant.session.scopes import scope_of
from assistant.simulated import Agenda
from assistant.speaking.interruptible import Interruptible
from assistant.speaking.player import Player
from assistant.speaking.voice_box import VoiceBox
from assistant.spoken_output import SpokenOutput, finished_event
from assistant.turns import LONGEST_WAIT, Turns
from assistant.typed import begin_event

log = logging.getLogger("cuewalk.hearing")


LEVEL = "level"
"""Tag of the line that asks for a word."""

LONGEST_LINE = 10.0
"""Seconds after which a line that nobody tells the end of is taken for said."""


@dataclass(frozen=True)
class Devices:
    """Which devices to use, as `cuewalk devices` lists them; None is the system's default."""

    microphone: int | str | None = None
    loudspeaker: int | str | None = None


def train_live(
    prepared: Prepared,
    coach: Coach,
    recorder: Recorder,
    screen: Screen,
    recogniser: Recogniser,
    voice: VoiceBox,
    devices: Devices,
    check_level: bool = True,
) -> str:
    """Run the session to its end; `check_level` has a new one begin with a word of the athlete's,
    to see whether it is heard. Raises HearingError or SpeakingError where a device is missing
    at the start; one that vanishes later pauses the session instead."""
    setting = prepared.setting
    asked = threading.Event()
    clock = SessionClock(start=prepared.state.at if prepared.state is not None else 0.0)

    def lost(device: str) -> None:
        loop.post(lambda at: AudioLost(at, device))

    def found(device: str) -> None:
        loop.post(lambda at: AudioFound(at, device))

    player = Player(
        clock.now,
        devices.loudspeaker,
        on_lost=lambda: lost("loudspeaker"),
        on_found=lambda: found("loudspeaker"),
        on_played=lambda samples, at: turns.played(samples, at),
    )
    loudspeaker = Interruptible(player)
    turns = Turns(loudspeaker, player.now_saying, lambda tag: output.interruptible(tag))
    try:
        microphone = Microphone(
            clock.now,
            devices.microphone,
            on_lost=lambda: lost("microphone"),
            on_found=lambda: found("microphone"),
        )
    except HearingError:
        player.close()
        raise

    def heard(utterance: Utterance) -> None:
        loop.post(lambda at: judge(utterance, at))

    def judge(utterance: Utterance, at: float) -> Event | None:
        log.debug("%s", utterance)
        event = attention.judge(utterance, scope_of(runner.state), at)
        if attention.ripe_at is not None:
            loop.agenda.add(attention.ripe_at, ripe)
        if event is None and utterance.final:
            turns.heard(False, at)
        return taken(event, at)

    def ripe(at: float) -> Event | None:
        return taken(attention.ripe(scope_of(runner.state), at), at)

    def taken(event: Heard | None, at: float) -> Heard | None:
        if event is not None:
            meant = event.decision != "pass"
            turns.heard(meant, at)
            if meant:
                # Comes after the event itself, so after the session has hushed what it wants to.
                loop.post(lambda _: turns.settled())
        return shown(event)

    def shown(event: Heard | None) -> Heard | None:
        if event is not None and (event.decision != "pass" or event.text):
            screen.athlete(event.text if event.decision != "pass" else f"({event.text})")
        return event

    def saying(at: float) -> Sequence[str]:
        spans = player.now_saying(at - turns.delay, ECHO_TAIL)
        return [output.texts[span.tag] for span in spans if span.tag in output.texts]

    def speaking(somebody: bool) -> None:
        if somebody:
            turns.taken(clock.now())
            loop.post(lambda at: loop.agenda.add(at + LONGEST_WAIT, turns.waited))
        else:
            # Comes after what was heard has been taken, and whatever it hushed.
            loop.post(lambda _: turns.left())

    def ended(error: HearingError | None) -> None:
        if error is not None:
            screen.note(str(error))
            lost("microphone")

    def finished(tag: str, whole: bool) -> None:
        if tag == LEVEL:
            asked.set()
        else:
            loop.post(finished_event(tag, whole))

    def level_checked() -> None:
        """Ask for a word and listen to it; say what is to be better, if anything is."""
        output.perform(Say(LEVEL, ASKED), clock.now())
        get_ready(recogniser, coach)
        asked.wait(LONGEST_LINE)
        end = clock.now() + SECONDS
        checked = hear_word(since(microphone.blocks(end), clock.now()), recogniser, coach)
        log.debug("%s", checked)
        if not checked.fine:
            output.perform(Say(f"{LEVEL} told", checked.line), clock.now())
        if checked.levels.speech is not None:
            turns.begin(checked.levels.speech, checked.levels.noise)

    listener = Listener(recogniser, turns.blocks(microphone.blocks()), heard, ended, speaking)
    output = SpokenOutput(
        coach.render,
        voice,
        loudspeaker,
        screen,
        listen=lambda scope: listener.listen_for(coach.grammar(scope)),
        finished=finished,
        rate=prepared.start.rate,
        show=lambda effect: screen.show(effect.headline, effect.until),
        use_voice=voice.use,
    )
    loudspeaker.set_volume(prepared.start.volume)
    runner = Runner(setting, output, recorder, prepared.state, screen.see)
    attention = Attention(coach.understander, saying)
    loop = Loop(runner, clock, Agenda())
    try:
        screen.begin(coach.lines, setting, clock)
        if check_level and prepared.state is None:
            level_checked()
        runner.take(replace(begin_event(prepared), at=clock.now()))
        listener.start()
        return loop.run()
    finally:
        log.debug("blocks dropped: %d, overflows: %d", microphone.dropped, microphone.overflows)
        microphone.close()
        listener.stop()
        output.close()
        player.close()
