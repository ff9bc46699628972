import subprocess
import sys

import pytest

from assistant.speaking import espeak_library

PROGRAM = """
from assistant.speaking import espeak_library
print(espeak_library.prepare(), espeak_library.prepare())
import pyttsx3
pyttsx3.init()
print(*{line.split()[-1] for line in open("/proc/self/maps") if "espeak" in line})
"""


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only Linux needs the library")
def test_pyttsx3_gets_the_library_of_the_wheel_and_no_other() -> None:
    loader = pytest.importorskip("espeakng_loader")
    ran = subprocess.run([sys.executable, "-c", PROGRAM], capture_output=True, text=True)
    assert ran.returncode == 0, ran.stderr
    told, loaded = ran.stdout.splitlines()
    assert told == "wheel wheel"
    assert loaded.endswith("libespeak-ng.so") or "libespeak-ng.so.1" in loaded
    assert loaded.startswith(str(loader.__path__[0]))
    assert len(loaded.split()) == 1


@pytest.mark.parametrize("platform", ["win32", "darwin"])
def test_native_voices_need_nothing(platform: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "platform", platform)
    assert espeak_library.prepare() == "native"


def test_without_the_wheel_the_system_is_left_to_serve(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(espeak_library, "_loaded", [])
    monkeypatch.setitem(sys.modules, "espeakng_loader", None)
    assert espeak_library.prepare() == "system"
