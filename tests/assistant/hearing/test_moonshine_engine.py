"""Both embedded engines together: voices in quiet and in noise, other speech, grammars, time.

Outside sources: flite's voices; people who play cards and read a book aloud, from Debian's
pocketsphinx-testdata, with transcripts; a recording in the wheel of moonshine-voice in which
Dickens' "A Tale of Two Cities" (1859) is read; word error rates by jiwer; people ordering drinks
from an open speech-to-intent benchmark (Apache-2.0), not part of the project.
"""

from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import jiwer
import numpy as np
import pytest

from assistant.errors import HearingError
from assistant.hearing.listener import blocks_of, transcribe
from assistant.hearing.moonshine_engine import SOFT, MoonshineRecogniser
from assistant.hearing.pocketsphinx_engine import PocketsphinxRecogniser
from assistant.hearing.port import BLOCK, RATE, Recogniser, Samples, Utterance
from assistant.hearing.wave import read_wave
from intents.grammar import Grammar
from tests.assistant.hearing.sounds import COMMANDS, hiss, hum

PEOPLE = Path("/usr/share/pocketsphinx/test/data")
people = pytest.mark.skipif(not PEOPLE.is_dir(), reason="pocketsphinx-testdata is not installed")

Say = Callable[[str, str], Samples]
SPOKEN = (
    *("next", "go back", "pause", "resume", "start over", "stop", "i am dizzy", "easier"),
    *("something else", "skip this one", "how much time is left", "log thirty eight seconds"),
    *("effort seven", "i do not have a bar please"),
)
TIMES = tuple(
    f"it was the {what}"
    for what in (
        *("best of times", "worst of times", "age of wisdom", "age of foolishness"),
        *("epoch of belief", "season of darkness", "spring of hope", "winter of despair"),
    )
)


def grammar(name: str, *phrases: str) -> Grammar:
    words = frozenset(w for p in phrases for w in p.split())
    jsgf = f"#JSGF V1.0;\ngrammar x;\npublic <x> = {' | '.join(phrases)};"
    return Grammar(name, jsgf, phrases, words)


def accepted(utterances: list[Utterance]) -> str:
    return " / ".join(u.text for u in utterances if u.final and not u.rejected)


def in_noise(sound: Samples, noise: Samples, ratio: float) -> Samples:
    """Speech with noise so many decibels below it, some of the noise alone before it."""
    speech = sound.astype(float)
    loud = np.abs(speech) > 0.02 * np.abs(speech).max()
    level = np.sqrt(np.mean(speech[loud] ** 2)) / 10 ** (ratio / 20)
    mixed = np.resize(noise / np.sqrt(np.mean(noise.astype(float) ** 2)), len(sound) + RATE) * level
    mixed[RATE:] += speech
    return np.clip(np.round(mixed), -32_768, 32_767).astype(np.int16)


def right(engine: Recogniser, sounds: dict[str, Samples]) -> tuple[int, dict[str, str]]:
    """How many are heard as they are, and what else is heard."""
    engine.listen_for(COMMANDS)
    heard = {text: accepted(transcribe(engine, sound)) for text, sound in sounds.items()}
    wrong = {text: got for text, got in heard.items() if got not in (text, "")}
    return sum(got == text for text, got in heard.items()), wrong


@pytest.mark.parametrize("voice", ["slt", "rms"])
def test_every_phrase_is_heard_in_a_quiet_room(
    moonshine: MoonshineRecogniser, say: Say, voice: str
) -> None:
    assert right(moonshine, {t: say(t, voice) for t in SPOKEN}) == (len(SPOKEN), {})


def test_beside_a_fan_it_hears_nearly_all(net_folder: Path, say: Say) -> None:
    """An engine of its own, as what it knows of the noise of a room must not go elsewhere."""
    sounds = {t: in_noise(say(t, "rms"), hum(10.0, 100.0), 9.0) for t in SPOKEN[::2]}
    count, wrong = right(MoonshineRecogniser(net_folder), sounds)
    assert wrong == {}
    assert count >= len(sounds) - 1


def test_in_a_kitchen_it_hears_most(net_folder: Path, say: Say, recordings: Path) -> None:
    noise = read_wave(recordings / "kitchen-noise.wav")[: 10 * RATE]
    sounds = {t: in_noise(say(t, "slt"), noise, 12.0) for t in SPOKEN[1::2]}
    count, wrong = right(MoonshineRecogniser(net_folder), sounds)
    assert count >= len(sounds) - 2
    assert len(wrong) <= 1


@people
def test_people_are_heard_better_than_by_the_decoders_alone(
    moonshine: MoonshineRecogniser, sphinx: PocketsphinxRecogniser
) -> None:
    cards = PEOPLE / "cards"
    lines = (cards / "cards.transcription").read_text().splitlines()
    said = [line.split("<s>")[1].split("</s>")[0].strip() for line in lines]
    game = Grammar("cards", (cards / "cards.gram").read_text(), ("ten of clubs",), frozenset())
    wrong = {}
    for engine in (moonshine, sphinx):
        engine.listen_for(game)
        heard = []
        for number in range(1, 6):
            card = np.concatenate([hiss(0.5), read_wave(cards / f"{number:03d}.wav"), hiss(0.5)])
            heard.append(accepted(transcribe(engine, card)))
        wrong[engine.name] = jiwer.wer(said, heard)
    assert wrong["moonshine"] == 0
    assert wrong["moonshine"] <= wrong["pocketsphinx"]


def test_a_reader_is_heard_phrase_by_phrase(net_folder: Path) -> None:
    moonshine = MoonshineRecogniser(net_folder)
    reading = read_wave(net_folder.parent / "two_cities.wav")[: 8 * RATE]
    moonshine.listen_for(grammar("times", *TIMES))
    assert accepted(transcribe(moonshine, reading)) == " / ".join(TIMES[:4])


def test_the_same_reader_is_no_athlete(moonshine: MoonshineRecogniser, net_folder: Path) -> None:
    moonshine.listen_for(COMMANDS)
    reading = read_wave(net_folder.parent / "two_cities.wav")[: 9 * RATE]
    assert accepted(transcribe(moonshine, reading)) == ""


@people
def test_a_book_read_aloud_passes(moonshine: MoonshineRecogniser) -> None:
    moonshine.listen_for(COMMANDS)
    for path in sorted((PEOPLE / "librivox").glob("*.wav"))[1:5:2]:
        sentence = np.concatenate([hiss(0.5), read_wave(path), hiss(0.5)])
        assert accepted(transcribe(moonshine, sentence)) == "", path.name


def test_other_speech_passes(moonshine: MoonshineRecogniser, recordings: Path) -> None:
    moonshine.listen_for(COMMANDS)
    paths = sorted((recordings / "unrelated").glob("*.wav"))[::30]
    heard = {p.name: accepted(transcribe(moonshine, read_wave(p))) for p in paths}
    assert len(heard) >= 3
    assert {name: text for name, text in heard.items() if text} == {}


def test_silence_and_noise_alone_are_nothing(moonshine: MoonshineRecogniser) -> None:
    moonshine.listen_for(COMMANDS)
    assert transcribe(moonshine, np.zeros(2 * RATE, np.int16)) == []
    assert transcribe(moonshine, hiss(2.0)) == []
    chance = np.random.default_rng(0)
    roar = chance.integers(-32_768, 32_767, RATE).astype(np.int16)
    for sound in (hum(3.0, 2000.0), roar, np.full(RATE, 32_767, np.int16)):
        assert accepted(transcribe(moonshine, np.concatenate([hiss(0.5), sound]))) == ""


def test_stop_is_said_before_the_utterance_is_over(
    moonshine: MoonshineRecogniser, say: Say
) -> None:
    moonshine.listen_for(COMMANDS)
    blocks = blocks_of(say("stop", "slt"))
    found = [(at, u) for block, at in blocks for u in moonshine.accept(block, at)]
    (final,) = [(at, u) for at, u in found if u.final]
    early = [at for at, u in found if not u.final and u.text == "stop" and not u.rejected]
    assert final[1].text == "stop"
    assert early[0] < final[0] - 0.1


def test_times_lie_on_the_clock_of_the_blocks(moonshine: MoonshineRecogniser, say: Say) -> None:
    moonshine.listen_for(COMMANDS)
    one, two = say("log thirty eight seconds", "slt"), say("resume", "rms")
    loud = np.flatnonzero(np.abs(one.astype(int)) > 500) / RATE
    blocks = blocks_of(np.concatenate([one, two]), 100.0)
    found = [(at, u) for block, at in blocks for u in moonshine.accept(block, at)]
    for (earlier, before), (later, after) in pairwise(found):
        assert earlier <= later
        assert before.began <= after.began
    first, second = (u for _, u in found if u.final)
    assert (first.text, second.text) == ("log thirty eight seconds", "resume")
    assert first.began == pytest.approx(100 + loud[0], abs=0.3)
    assert first.ended == pytest.approx(100 + loud[-1], abs=0.25)
    assert [w.text for w in first.words] == first.text.split()
    for utterance in (first, second):
        assert 0.5 < utterance.confidence <= 1
        assert utterance.engine == "moonshine"
        for word in utterance.words:
            assert utterance.began <= word.start <= word.end <= utterance.ended
    assert first.ended < second.began
    # No longer is waited than for the longest of silences (patience.py).
    assert all(at - u.ended < 0.7 for at, u in found if u.final)


def test_the_end_of_the_sound_ends_the_utterance(moonshine: MoonshineRecogniser, say: Say) -> None:
    moonshine.listen_for(COMMANDS)
    sound = say("something else", "slt")
    loud = np.flatnonzero(np.abs(sound.astype(int)) > 500)
    cut = sound[: loud[-1] + BLOCK]
    found = [u for block, at in blocks_of(cut) for u in moonshine.accept(block, at) if u.final]
    assert found == []
    (final,) = moonshine.flush(len(cut) / RATE)
    assert (final.text, final.final, final.rejected) == ("something else", True, False)
    assert list(moonshine.flush(9.0)) == []


def test_a_grammar_takes_effect_at_the_end_of_an_utterance(
    moonshine: MoonshineRecogniser, say: Say
) -> None:
    moonshine.listen_for(COMMANDS)
    answers = grammar("answers", "yes", "no")
    finals = []
    for number, (block, at) in enumerate(blocks_of(say("resume", "slt"))):
        finals += [u for u in moonshine.accept(block, at) if u.final]
        if number == 40:
            moonshine.listen_for(answers)
    assert accepted(finals) == "resume"
    assert accepted(transcribe(moonshine, say("yes", "slt"))) == "yes"
    assert accepted(transcribe(moonshine, say("resume", "slt"))) == ""


def test_what_was_heard_once_is_heard_again(moonshine: MoonshineRecogniser, say: Say) -> None:
    """The noise of the room is remembered; it must not run over into the next utterance."""
    moonshine.listen_for(COMMANDS)
    sound = say("skip this one", "rms")
    confidences = [transcribe(moonshine, sound)[-1].confidence for _ in range(3)]
    assert confidences == pytest.approx([confidences[0]] * 3, abs=0.05)


def test_words_and_grammars_that_can_not_be_heard_are_told(
    moonshine: MoonshineRecogniser,
) -> None:
    assert moonshine.unknown(frozenset({"wallbar", "stop", "слово"})) == {"слово"}
    with pytest.raises(HearingError, match="no pronunciation for слово"):
        moonshine.listen_for(grammar("bad", "слово"))
    with pytest.raises(HearingError, match="no valid JSGF"):
        moonshine.listen_for(Grammar("bad", "no grammar", (), frozenset()))


def test_without_a_grammar_and_without_a_network_it_says_so(
    net_folder: Path, tmp_path: Path
) -> None:
    with pytest.raises(HearingError, match="listen_for"):
        list(MoonshineRecogniser(net_folder).accept(hiss(0.03), 0.0))
    with pytest.raises(HearingError, match="install moonshine-voice"):
        MoonshineRecogniser(tmp_path)


def partials(engine: Recogniser, sound: Samples) -> set[str]:
    """Those that may act."""
    told = [one for block, at in blocks_of(sound) for one in engine.accept(block, at)]
    return {one.text for one in told if not one.final and not one.rejected}


def test_only_short_partial_texts_act_at_once(
    moonshine: MoonshineRecogniser, sphinx: PocketsphinxRecogniser, say: Say
) -> None:
    """A long one waits for the network: the decoders take the start of a sentence for a phrase."""
    phrases = grammar("moments", "stop", "hold on", "give me a moment")
    for engine in (moonshine, sphinx):
        engine.listen_for(phrases)
    for text in ("stop", "hold on"):
        assert text in partials(moonshine, say(text, "rms"))
    moment = say("give me a moment", "rms")
    assert "give me a moment" in partials(sphinx, moment)
    assert not partials(moonshine, moment)
    assert accepted(transcribe(moonshine, moment)) == "give me a moment"


def test_in_noise_no_partial_text_acts(moonshine: MoonshineRecogniser, say: Say) -> None:
    """The decoders take other words in noise for "hold on": it waits for the network."""
    moonshine.listen_for(grammar("waits", "stop", "hold on", "pause"))
    sound = np.concatenate([say("hold on", "rms"), np.zeros(RATE, np.int16)])
    for ratio, acting in ((50, {"hold on"}), (18, set())):
        noisy = in_noise(sound, hum(3.0, 300.0), ratio)
        # It takes some seconds until it knows how loud a room is that has become louder.
        transcribe(moonshine, np.tile(noisy[:RATE], 12))
        assert partials(moonshine, noisy) == acting
        assert accepted(transcribe(moonshine, noisy)) == "hold on"


def test_in_noise_more_is_waited_and_read(moonshine: MoonshineRecogniser, say: Say) -> None:
    """The endpointer does not hear the soft end of a phrase in noise: what comes just behind it
    must be in what the network reads."""
    moonshine.listen_for(COMMANDS)
    sound = np.concatenate([say("skip this one", "rms"), np.zeros(RATE, np.int16)])
    waits = {}
    for ratio in (50, 18):
        noisy = in_noise(sound, hum(3.0, 300.0), ratio)
        transcribe(moonshine, np.tile(noisy[:RATE], 12))
        blocks = blocks_of(noisy)
        found = [(at, u) for block, at in blocks for u in moonshine.accept(block, at) if u.final]
        ((at, said),) = found
        assert (said.text, said.rejected) == ("skip this one", False)
        waits[ratio] = at + BLOCK / RATE - said.ended
    assert waits[18] == pytest.approx(waits[50] + SOFT, abs=2 * BLOCK / RATE)
    assert waits[18] > waits[50]
