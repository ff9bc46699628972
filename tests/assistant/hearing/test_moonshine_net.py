"""The network: what it hears, what it keeps, and what a broken file says.

Outside sources: a recording in the wheel of moonshine-voice in which the beginning of Dickens' "A
Tale of Two Cities" (1859) is read; the encoder in the same wheel, from which ours was taught; the
decoder asked in one go by onnxruntime, without a memory.
Its weights have 8 bits and what goes through it is scaled by the largest number in a whole batch,
so likelihoods change a little with what else is asked.
"""

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from assistant.errors import HearingError
from assistant.hearing import moonshine_net
from assistant.hearing.moonshine_net import (
    DECODER,
    HEADS,
    Floats,
    Memory,
    MoonshineNet,
)
from assistant.hearing.moonshine_pieces import END, SPACE, START, Pieces
from assistant.hearing.patience import LONGEST
from assistant.hearing.port import RATE
from assistant.hearing.wave import read_wave
from tests.assistant.hearing.packaged_net import PackagedNet
from tests.assistant.hearing.sounds import hiss

CLOSE = 0.7
"""Differences of natural logarithms that come of the 8 bits."""


def scaled(path: Path, begin: float, end: float) -> Floats:
    sound = read_wave(path)[round(begin * RATE) : round(end * RATE)]
    return (sound / 32_768).astype(np.float32)


@pytest.fixture(scope="module")
def times(net_folder: Path) -> Floats:
    """ "It was the best of times"."""
    return scaled(net_folder.parent / "two_cities.wav", 0.8, 2.75)


@pytest.fixture(scope="module")
def wisdom(net_folder: Path) -> Floats:
    """ "It was the age of wisdom"."""
    return scaled(net_folder.parent / "two_cities.wav", 4.35, 6.25)


def test_it_is_found_without_its_package_being_imported(net_folder: Path) -> None:
    """The package opens sound devices and has ways to the network; nothing of it runs."""
    code = (
        "import sys; from assistant.hearing.moonshine_net import find_net; print(find_net());"
        "assert not {'moonshine_voice', 'onnxruntime', 'requests'} & set(sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        cwd=Path(__file__).parents[3],
    )
    assert done.stdout.strip() == str(net_folder)


@pytest.mark.parametrize("sound", ["times", "wisdom"])
def test_left_to_itself_it_writes_what_is_read(
    net: MoonshineNet, pieces: Pieces, sound: str, request: pytest.FixtureRequest
) -> None:
    scores, memory = net.begin(net.encode(request.getfixturevalue(sound)), START)
    written: list[int] = []
    while (piece := int(scores[0].argmax())) != END and len(written) < 20:
        written.append(piece)
        scores, memory = net.step([piece], memory)
    read = {"times": "it was the best of times", "wisdom": "it was the age of wisdom"}
    assert pieces.text(written).lower().strip(".,") == read[sound]


def test_a_second_is_some_forty_vectors_and_the_shortest_sound_is_heard(
    net: MoonshineNet, times: Floats
) -> None:
    heard = net.encode(times)
    assert heard.shape == (1, pytest.approx(41 * len(times) / RATE, abs=2), HEADS[0] * HEADS[1])
    for sound in (np.zeros(0, np.float32), times[:1]):
        assert np.isfinite(net.encode(sound)).all()
        assert net.encode(sound).shape[1] >= 1


def test_the_longest_utterance_is_heard(net: MoonshineNet, net_folder: Path) -> None:
    sound = scaled(net_folder.parent / "two_cities.wav", 0.0, LONGEST)
    scores, memory = net.begin(net.encode(sound), START)
    for piece in (739, 471):
        scores, memory = net.step([piece], memory)
        assert np.isfinite(scores).all()


def test_likelihoods_are_of_one_whole(net: MoonshineNet, times: Floats) -> None:
    quiet = (hiss(len(times) / RATE) / 32_768).astype(np.float32)
    both = np.concatenate([net.encode(times), net.encode(quiet)])
    scores, memory = net.begin(both, START)
    for piece in (1500, 17, 300):
        assert scores.shape[0] == 2
        assert np.exp(scores.astype(float)).sum(axis=1) == pytest.approx([1, 1], abs=1e-3)
        scores, memory = net.step([piece, piece], memory)


def test_with_a_memory_it_says_what_it_says_when_asked_in_one_go(
    net: MoonshineNet, net_folder: Path, pieces: Pieces, times: Floats
) -> None:
    text = [p for word in ("It", "was", "the", "best", "of") for p in pieces.of(SPACE + word)]
    heard = net.encode(times)
    at_once = asked_at_once(net_folder, heard, [START, *text])
    scores, memory = net.begin(heard, START)
    for row, piece in zip(at_once, [*text, END], strict=True):
        assert int(row.argmax()) == int(scores[0].argmax())
        # What is unlikely differs more: each way rounds to 8 bits in its own manner.
        likely = np.argsort(-row)[:3]
        assert scores[0][likely] == pytest.approx(row[likely], abs=CLOSE)
        scores, memory = net.step([piece], memory)


def asked_at_once(folder: Path, heard: Floats, text: list[int]) -> Floats:
    """Logarithms of how likely each piece is behind each of `text`."""
    import onnxruntime

    decoder = onnxruntime.InferenceSession(str(folder / DECODER))
    given = {
        one.name: np.zeros((1, HEADS[0], 0, HEADS[1]), np.float32)
        for one in decoder.get_inputs()
        if one.name.startswith("past_key_values")
    }
    given |= {
        "input_ids": np.array([text], np.int64),
        "encoder_hidden_states": heard,
        "encoder_attention_mask": np.ones((1, 1), np.int64),
        "use_cache_branch": np.array([False]),
    }
    scores: Floats = decoder.run(None, given)[0][0]
    whole = np.log(np.exp(scores.astype(float)).sum(axis=1, keepdims=True))
    return (scores - whole).astype(np.float32)


@pytest.fixture(scope="module")
def two(net: MoonshineNet, times: Floats, wisdom: Floats) -> tuple[Floats, Memory]:
    """Two sounds of one length, three pieces on."""
    both = np.concatenate([net.encode(times[: len(wisdom)]), net.encode(wisdom)])
    scores, memory = net.begin(both, START)
    for piece in (739, 471, 278):
        scores, memory = net.step([piece, piece], memory)
    return scores, memory


def test_rows_go_their_own_ways(net: MoonshineNet, two: tuple[Floats, Memory]) -> None:
    """In another order, several times, and with other pieces beside them."""
    _, memory = two
    plain, _ = net.step([1900, 310], memory)
    turned, after = net.step([310, 1900], memory.rows([1, 0]))
    assert turned[::-1] == pytest.approx(plain, abs=1e-4)
    again, _ = net.step([1900, 310, 310], memory.rows([0, 1, 1]))
    assert again[[0, 1]] == pytest.approx(plain, abs=1e-4)
    assert (again[1] == again[2]).all()
    other, _ = net.step([1900, 17], memory)
    likely = np.argsort(-plain[0])[:3]
    assert other[0][likely] == pytest.approx(plain[0][likely], abs=CLOSE)
    assert after.heard[0] == pytest.approx(memory.heard[1])


def test_a_sound_alone_is_heard_as_beside_another(
    net: MoonshineNet, two: tuple[Floats, Memory], times: Floats, wisdom: Floats
) -> None:
    for row, sound in enumerate((times[: len(wisdom)], wisdom)):
        scores, memory = net.begin(net.encode(sound), START)
        for piece in (739, 471, 278):
            scores, memory = net.step([piece], memory)
        likely = np.argsort(-scores[0])[:3]
        assert two[0][row][likely] == pytest.approx(scores[0][likely], abs=CLOSE)


def test_what_can_not_be_loaded_is_told_in_a_sentence(net_folder: Path, tmp_path: Path) -> None:
    (tmp_path / DECODER).write_bytes((net_folder / DECODER).read_bytes()[:5000])
    with pytest.raises(HearingError, match="can not be loaded; install moonshine-voice") as told:
        MoonshineNet(tmp_path)
    assert str(tmp_path) in str(told.value)


def test_an_encoder_that_is_damaged_is_told_in_a_sentence(
    net_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(moonshine_net, "ENCODER", "certainty.toml")
    with pytest.raises(HearingError, match="can not be loaded; install moonshine-voice") as told:
        MoonshineNet(net_folder)
    assert str(net_folder) in str(told.value)


@pytest.mark.parametrize("sound", ["times", "wisdom"])
def test_in_quiet_our_encoder_hears_what_the_packaged_one_hears(
    net: MoonshineNet, net_folder: Path, sound: str, request: pytest.FixtureRequest
) -> None:
    read: Floats = request.getfixturevalue(sound)
    ours, theirs = net.encode(read), PackagedNet(net_folder).encode(read)
    assert ours.shape == theirs.shape
    assert np.sum((ours - theirs) ** 2) < 0.1 * np.sum(theirs**2)
