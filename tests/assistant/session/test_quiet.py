"""In the last seconds of a hold the count is alone.

Every timed movement of the built-in catalogue is rehearsed with what the standard voice really
takes to say each line, with athletes who do what they are told and with one who asks for more talk
just before the end.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from random import Random

import pytest

from assistant.athletes import Reply, steady
from assistant.coach import Coach
from assistant.files import builtin_catalogue
from assistant.rehearsal import Rehearsed, rehearse
from assistant.session.amounts import asked
from assistant.session.events import Heard
from assistant.session.nodes import Node
from assistant.session.state import Setting, State
from assistant.session.work import TALK_FREE
from assistant.simulated import Lasts
from assistant.speaking.pyttsx3_voice import Pyttsx3Voice
from catalogue.dosing import target_for
from catalogue.model import Catalogue, Detail, Movement, Profile
from catalogue.plan import Block, Plan
from catalogue.speech import USUAL_RATE
from intents.lines import Line

CATALOGUE = builtin_catalogue()
COACH = Coach.of(CATALOGUE, "en")
TIMED = [m for m in CATALOGUE.movements.values() if m.dosage.kind in ("hold", "work")]


@pytest.fixture(scope="module")
def lasts() -> Iterator[Lasts]:
    """Seconds of a line as the standard voice says it."""
    voice = Pyttsx3Voice()

    @cache
    def measured(text: str, rate: int) -> float:
        return voice.render(text, rate).seconds

    yield measured
    voice.close()


def setting_of(catalogue: Catalogue, movement: Movement, detail: Detail) -> Setting:
    profile = Profile(
        athlete="Robin",
        levels=dict.fromkeys(catalogue.skills, "advanced"),
        equipment=tuple(catalogue.equipment),
        space=20.0,
        detail=detail,
    )
    block = Block(movement=movement.id, phase=movement.phase, target=target_for(movement))
    return Setting(catalogue, profile, Plan(blocks=(block,), seconds=600), seed=len(movement.id))


def curious(state: State, setting: Setting, random: Random) -> list[Reply]:
    """Asks what to take care of, seven seconds before the end of each hold."""
    if state.node is Node.WORK:
        movement = setting.catalogue.movements[state.current.movement]
        return [Reply(max(0.5, asked(state.current, movement) - 7.0), Line("safety"))]
    return steady(state, setting, random)


def ends(done: Rehearsed) -> list[float]:
    """The moments at which a hold ran out, on either side."""
    return [moment.at for moment in done.script if moment.text in ("half", "end")]


@pytest.mark.parametrize("detail", ["brief", "usual", "full"])
def test_nothing_but_the_count_is_heard_at_the_end(lasts: Lasts, detail: Detail) -> None:
    held = 0
    for movement in TIMED:
        setting = setting_of(CATALOGUE, movement, detail)
        done = rehearse(setting, steady, COACH.render, COACH.understand, lasts=lasts)
        assert done.ended == "done", movement.id
        for end in ends(done):
            held += 1
            late = [s for s in done.speech if s.ended > end - TALK_FREE and s.began < end]
            assert not late, f"{movement.id}: {late}"
    assert held > 2 * len(TIMED)


def test_not_even_where_the_athlete_asks_for_it(lasts: Lasts) -> None:
    cut = 0
    for movement in TIMED[::5]:
        setting = setting_of(CATALOGUE, movement, "usual")
        done = rehearse(setting, curious, COACH.render, COACH.understand, lasts=lasts)
        for end in ends(done):
            for spoken in done.speech:
                assert spoken.began >= end or spoken.ended <= end - TALK_FREE + 1e-6, spoken
                whole = lasts(spoken.text, USUAL_RATE)
                cut += spoken.ended == end - TALK_FREE and spoken.ended - spoken.began < whole
    assert cut > 5


def test_what_the_athlete_says_there_is_still_heard() -> None:
    """Silence is the coach's: "I came off" in the last second stops the clock."""
    setting = setting_of(CATALOGUE, CATALOGUE.movements["long_plank"], "usual")

    def slips(state: State, setting: Setting, random: Random) -> list[Reply]:
        if state.node is Node.WORK and not state.came_off:
            return [Reply(29.0, Line("came_off"))]
        return steady(state, setting, random)

    done = rehearse(setting, slips, COACH.render, COACH.understand)
    heard = [e.text for e in done.events if isinstance(e, Heard)]
    assert "I came off" in heard
    assert any(s.came_off for s in done.state.sets)
