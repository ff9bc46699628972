"""The real voice of this machine; and workers that hang, die or talk nonsense."""

import json
import shutil
import subprocess
import sys
import threading
import time
from pathlib import Path

import numpy as np
import pytest

from assistant.errors import SpeakingError
from assistant.speaking import pyttsx3_voice
from assistant.speaking.port import Sound
from assistant.speaking.pyttsx3_voice import Pyttsx3Voice
from assistant.speaking.shape import PEAK, shaped
from assistant.speaking.sound_file import read_sound

LINE = "Stand on the pipe, soften your knees, and find one point to look at."


@pytest.fixture(scope="module")
def voice():
    made = Pyttsx3Voice()
    try:
        made.render("Ready.", 160)
    except SpeakingError as error:
        pytest.skip(str(error))
    yield made
    made.close()


def level(sound: Sound) -> float:
    return float(np.sqrt(np.mean((sound.samples / 32768) ** 2)))


def test_a_line_sounds_like_speech(voice: Pyttsx3Voice) -> None:
    sound = voice.render(LINE, 160)
    minutes = len(LINE.split()) / 160
    # Short words are spoken faster than the mean that words a minute counts on.
    assert 0.6 * 60 * minutes < sound.seconds < 1.3 * 60 * minutes
    assert 0.03 < level(sound) < 0.3
    assert np.abs(sound.samples).max() == pytest.approx(PEAK * 32767, rel=0.01)


@pytest.mark.skipif(shutil.which("espeak-ng") is None, reason="espeak-ng is not installed")
@pytest.mark.parametrize("rate", [120, 160, 220])
def test_as_long_as_the_same_line_by_the_program_espeak_ng(
    voice: Pyttsx3Voice, rate: int, tmp_path: Path
) -> None:
    # The outside opinion: the library's own program, another build of it.
    if voice.choice().info.id != "gmw/en":
        pytest.skip("this machine's own voice is another")
    file = tmp_path / "line.wav"
    subprocess.run(["espeak-ng", "-v", "en", "-s", str(rate), "-w", str(file), LINE], check=True)
    theirs = shaped(read_sound(file.read_bytes()))
    assert voice.render(LINE, rate).seconds == pytest.approx(theirs.seconds, rel=0.04)


def test_begins_and_ends_with_sound(voice: Pyttsx3Voice) -> None:
    sound = voice.render("Go.", 160)
    edge = round(0.04 * sound.rate)
    assert np.abs(sound.samples[:edge]).max() > 300
    assert np.abs(sound.samples[-edge:]).max() > 300


def test_faster_is_shorter(voice: Pyttsx3Voice) -> None:
    slow, fast = (voice.render(LINE, rate).seconds for rate in (120, 240))
    assert slow > 1.5 * fast


def test_prints_nothing(voice: Pyttsx3Voice, capfd: pytest.CaptureFixture[str]) -> None:
    voice.render("Quiet.", 160)
    assert capfd.readouterr() == ("", "")


def test_every_line_is_its_own(voice: Pyttsx3Voice) -> None:
    # pyttsx3 writes only the last of two files that are queued: none may be lost or swapped.
    texts = ["One.", "Two little words.", "Three times as many words as in the first one."]
    first = [voice.render(text, 160).seconds for text in texts]
    again = [voice.render(text, 160).seconds for text in texts]
    assert again == pytest.approx(first, abs=0.02)
    assert first[2] > 2 * first[1] > 2 * first[0]


def test_a_new_rate_always_counts(voice: Pyttsx3Voice) -> None:
    # pyttsx3 loses a rate set just before a rendering, now and then.
    wanted = {rate: voice.render(LINE, rate).seconds for rate in (240, 120, 180)}
    for rate in [120, 240, 180, 240, 120] * 6:
        assert voice.render(LINE, rate).seconds == pytest.approx(wanted[rate], rel=0.02)


def test_one_line_right_after_another_is_always_whole(voice: Pyttsx3Voice) -> None:
    # About one in a hundred renderings of pyttsx3 cancels itself: no samples, or not all of them.
    wanted = voice.render(LINE, 160).seconds
    found = [voice.render(LINE, 160).seconds for _ in range(150)]
    assert found == pytest.approx([wanted] * 150, rel=0.02)


def test_many_threads_may_ask(voice: Pyttsx3Voice) -> None:
    alone = {n: voice.render("left " * n + "right", 160).seconds for n in range(1, 5)}
    found: dict[int, float] = {}

    def ask(n: int) -> None:
        found[n] = voice.render("left " * n + "right", 160).seconds

    threads = [threading.Thread(target=ask, args=(n,)) for n in alone]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    for n, seconds in alone.items():
        assert found[n] == pytest.approx(seconds, abs=0.05)


@pytest.mark.parametrize(
    "text",
    ["Über die Wand", "3 × 45 s", 'He said "go" & <left>', "line\nbreak", "a " * 700],
)
def test_odd_texts_are_spoken(voice: Pyttsx3Voice, text: str) -> None:
    assert voice.render(text, 200).seconds > 0.2


@pytest.mark.parametrize("text", ["", "  ", "... !"])
def test_nothing_to_say_is_an_error(voice: Pyttsx3Voice, text: str) -> None:
    with pytest.raises(SpeakingError, match="nothing to say"):
        voice.render(text, 160)


def test_an_unknown_voice_is_named_and_the_way_to_the_list_too() -> None:
    voice = Pyttsx3Voice("Nobody")
    with pytest.raises(SpeakingError, match=r"'Nobody'.*cuewalk devices"):
        voice.render("Hello.", 160)
    voice.close()


def test_voices_are_listed_and_each_name_of_one_finds_it(voice: Pyttsx3Voice) -> None:
    own = voice.choice().info
    assert own in voice.voices()
    assert own.speaks("en")
    for name in (own.id, own.id.upper(), own.name, own.languages[0]):
        other = Pyttsx3Voice(name)
        assert other.choice().info.speaks("en"), name
        other.close()


def test_two_voices_differ(voice: Pyttsx3Voice) -> None:
    others = [info for info in voice.voices() if info.id == "gmw/en-us"]
    if not others:
        pytest.skip("no second voice here")
    other = Pyttsx3Voice("gmw/en-us")
    one, two = voice.render("The bath.", 160), other.render("The bath.", 160)
    other.close()
    assert one.seconds != pytest.approx(two.seconds, abs=0.001)
    assert voice.name != other.name


def test_without_a_wish_the_voice_speaks_the_language(voice: Pyttsx3Voice) -> None:
    if not any(info.speaks("de") for info in voice.voices()):
        pytest.skip("no German voice here")
    german = Pyttsx3Voice(language="de")
    choice = german.choice()
    german.close()
    assert choice.info.speaks("de")
    assert "'de'" in choice.why


def test_the_worker_does_not_outlive_its_program() -> None:
    program = (
        "from assistant.speaking.pyttsx3_voice import Pyttsx3Voice\n"
        "voice = Pyttsx3Voice()\n"
        "voice.render('Ready.', 160)\n"
        "print(voice._worker.pid, flush=True)\n"
        "import os; os._exit(1)\n"
    )
    told = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    if not told.stdout:
        pytest.skip("no voice here")
    deadline = time.monotonic() + 5
    while time.monotonic() < deadline:
        if not Path("/proc", told.stdout.strip()).exists():
            return
        time.sleep(0.05)
    pytest.fail("the worker lives on")


# Workers that are not well.

SCRIPT = """
import json, os, sys, time
state = {state!r}
count = int(open(state).read()) if os.path.exists(state) else 0
open(state, "w").write(str(count + 1))
for line in sys.stdin:
    request = json.loads(line)
    if request["do"] == "voices":
        english = {{"id": "x/en", "name": "Ex", "languages": ["en"]}}
        reply = {{"ok": {{"voices": [english], "default": "x/en", "library": "wheel"}}}}
    else:
{render}
    print(json.dumps(reply), flush=True)
"""

GOOD = """
        import wave
        with wave.open(request["file"], "wb") as file:
            file.setnchannels(1); file.setsampwidth(2); file.setframerate(8000)
            file.writeframes(bytes([9, 9]) * 800)
        reply = {"ok": True}
"""


def sick(tmp_path: Path, render: str) -> Pyttsx3Voice:
    script = tmp_path / "worker.py"
    script.write_text(SCRIPT.format(state=str(tmp_path / "starts"), render=render))
    return Pyttsx3Voice(command=[sys.executable, str(script)])


def starts(tmp_path: Path) -> int:
    return int((tmp_path / "starts").read_text())


def test_a_worker_that_dies_once_is_started_again(tmp_path: Path) -> None:
    voice = sick(tmp_path, "        if count == 0: os._exit(3)\n" + GOOD)
    assert voice.render("Hello.", 160).seconds > 0
    assert starts(tmp_path) == 2
    voice.close()


def test_a_worker_that_hangs_is_ended_in_bounded_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pyttsx3_voice, "RENDER_LIMIT", 0.3)
    monkeypatch.setattr(pyttsx3_voice, "START_LIMIT", 2.0)
    voice = sick(tmp_path, "        time.sleep(600); reply = {}\n")
    began = time.monotonic()
    with pytest.raises(SpeakingError, match="does not answer"):
        voice.render("Hello.", 160)
    assert time.monotonic() - began < 6
    voice.close()


def test_no_file_from_the_worker_is_an_error(tmp_path: Path) -> None:
    voice = sick(tmp_path, "        reply = {'ok': False}\n")
    with pytest.raises(SpeakingError, match=r"gave no sound for 'Hello\.'"):
        voice.render("Hello.", 160)
    voice.close()


def test_a_failure_of_the_driver_is_told(tmp_path: Path) -> None:
    voice = sick(tmp_path, "        reply = {'error': 'OSError: no card'}\n")
    with pytest.raises(SpeakingError, match="no card"):
        voice.render("Hello.", 160)
    voice.close()


def test_nonsense_on_the_line_is_survived(tmp_path: Path) -> None:
    voice = sick(tmp_path, "        if count == 0: print('Audio saved', flush=True)\n" + GOOD)
    assert voice.render("Hello.", 160).seconds > 0
    voice.close()


def test_a_program_that_can_not_be_started_is_an_error(tmp_path: Path) -> None:
    voice = Pyttsx3Voice(command=[str(tmp_path / "missing")])
    with pytest.raises(SpeakingError, match="does not answer"):
        voice.render("Hello.", 160)


def test_closed_and_used_again_it_speaks_again(tmp_path: Path) -> None:
    voice = sick(tmp_path, GOOD)
    voice.render("Hello.", 160)
    voice.close()
    voice.close()
    assert voice.render("Hello.", 160).seconds > 0
    assert starts(tmp_path) == 2
    voice.close()


def test_requests_are_plain_json_lines(tmp_path: Path) -> None:
    voice = sick(tmp_path, f"        open({str(tmp_path / 'asked')!r}, 'w').write(line)\n" + GOOD)
    voice.render("RPE of the set: 7?", 160)
    asked = json.loads((tmp_path / "asked").read_text())
    voice.close()
    assert asked["text"].endswith("of the set: 7?")
    assert (asked["rate"], asked["voice"]) == (160, "x/en")
