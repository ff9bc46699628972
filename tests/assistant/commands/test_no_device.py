"""`cuewalk train` where there is nothing to hear with or to play on."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from assistant.record.store import Store


def away(home: Path) -> dict[str, str]:
    """An environment out of reach of any sound server."""
    return {
        "PATH": "/usr/bin:/bin", "HOME": str(home), "CUEWALK_HOME": str(home),
        "PULSE_SERVER": f"unix:{home}/none",
    }  # fmt: skip


def test_without_devices_one_sentence_tells_of_the_keyboard(tmp_path: Path) -> None:
    asked = [sys.executable, "-c", "import sounddevice; print(len(sounddevice.query_devices()))"]
    count = subprocess.run(asked, env=away(tmp_path), capture_output=True, text=True, timeout=60)
    if count.stdout.strip() != "0":
        pytest.skip(f"there are devices here, or no PortAudio: {count.stdout or count.stderr}")
    done = subprocess.run(
        [sys.executable, "-m", "assistant", "train", "--engine", "pocketsphinx"],
        env=away(tmp_path), stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=120,
    )  # fmt: skip
    assert done.returncode == 2
    (told,) = done.stderr.strip().splitlines()
    assert told.startswith("cuewalk: ")
    assert "--typed" in told
    with Store.open(tmp_path / "record.db", read_only=True) as store:
        assert store.sessions() == [], "a session that could not be heard has not begun"
