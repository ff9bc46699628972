"""Voices, noise and real recordings for the tests of hearing."""

import os
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from assistant.hearing.moonshine_engine import MoonshineRecogniser
from assistant.hearing.moonshine_net import PIECES, MoonshineNet, find_net
from assistant.hearing.moonshine_pieces import Pieces
from assistant.hearing.pocketsphinx_engine import PocketsphinxRecogniser
from assistant.hearing.port import Samples
from assistant.hearing.wave import read_wave
from tests.assistant.hearing.sounds import in_room


@pytest.fixture(scope="session")
def say(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str, str], Samples]:
    """Speech of one of flite's voices; skips where flite is missing."""
    if shutil.which("flite") is None:
        pytest.skip("flite is not installed")
    folder = tmp_path_factory.mktemp("flite")

    def render(text: str, voice: str = "slt") -> Samples:
        path = folder / f"{voice}-{text.replace(' ', '_')}.wav"
        if not path.exists():
            subprocess.run(["flite", "-voice", voice, "-t", text, "-o", path], check=True)
        return in_room(read_wave(path))

    return render


@pytest.fixture(scope="session")
def sphinx() -> PocketsphinxRecogniser:
    return PocketsphinxRecogniser()


@pytest.fixture(scope="session")
def net_folder() -> Path:
    """Where the network of moonshine is; skips where it can not be used."""
    pytest.importorskip("onnxruntime")
    folder = find_net()
    if folder is None:
        pytest.skip("no network: install 'moonshine-voice<=0.1.0'")
    return folder


@pytest.fixture(scope="session")
def net(net_folder: Path) -> MoonshineNet:
    return MoonshineNet(net_folder)


@pytest.fixture(scope="session")
def pieces(net_folder: Path) -> Pieces:
    return Pieces.load(net_folder / PIECES)


@pytest.fixture(scope="session")
def moonshine(net_folder: Path) -> MoonshineRecogniser:
    return MoonshineRecogniser(net_folder)


@pytest.fixture(scope="session")
def recordings() -> Path:
    """People who talk of other things, and kitchen noise, where somebody has put them."""
    beside = Path(__file__).parents[3].parent / "shared" / "hearing"
    folder = Path(os.environ.get("CUEWALK_HEARING_DATA", beside))
    if not (folder / "unrelated").is_dir():
        pytest.skip("no recordings of other speech: set CUEWALK_HEARING_DATA to a folder of them")
    return folder
