"""A room without hardware: a PulseAudio of its own, with a loudspeaker and a microphone.

Two null sinks: `room` is the loudspeaker (the default sink), `mouth` is where the athlete speaks;
`mic` is what `mouth` plays, as a microphone (the default source). What happens in here touches no
other PulseAudio of the machine: socket, home and runtime folder are the room's own.

PortAudio looks for devices when it is first used, so whatever opens devices must run in a child
process started with `room.env`.

    with VirtualRoom() as room:
        program = subprocess.Popen([...], env=room.env)
        with room.record() as heard:
            room.speak_text("start")
        print(heard.samples)
"""

from __future__ import annotations

import contextlib
import os
import shutil
import signal
import subprocess
import tempfile
import time
import wave
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from types import TracebackType
from typing import Self

import numpy as np
from numpy.typing import NDArray

TOOLS = ("pulseaudio", "pactl", "paplay", "parecord", "flite")

RATE = 48_000
"""Samples a second of the sinks."""

_SINKS = """
load-module module-native-protocol-unix socket={socket} auth-anonymous=1
load-module module-null-sink sink_name=room rate={rate} channels=2 format=s16le norewinds=1
load-module module-null-sink sink_name=mouth rate={rate} channels=2 format=s16le norewinds=1
load-module module-remap-source source_name=mic master=mouth.monitor channels=1 remix=yes
set-default-sink room
set-default-source mic
"""

_ASOUNDRC = "pcm.!default { type pulse }\nctl.!default { type pulse }\n"


def missing() -> str:
    """Why there can be no room here; empty where there can."""
    lacking = [tool for tool in TOOLS if shutil.which(tool) is None]
    return f"not installed: {', '.join(lacking)}" if lacking else ""


@dataclass
class Recording:
    """What a recorder heard; `samples` once its block ended."""

    file: Path
    rate: int
    samples: NDArray[np.int16] = field(default_factory=lambda: np.zeros(0, np.int16))

    @property
    def seconds(self) -> float:
        return len(self.samples) / self.rate

    def level(self, begin: float = 0.0, end: float | None = None) -> float:
        """Root mean square between two seconds, full scale being 1."""
        stop = None if end is None else round(end * self.rate)
        piece = self.samples[round(begin * self.rate) : stop] / 32768
        return float(np.sqrt(np.mean(piece**2))) if len(piece) else 0.0


class VirtualRoom:
    """The room, from `with` to its end."""

    def __init__(self) -> None:
        self._folder: Path | None = None
        self._daemon: subprocess.Popen[bytes] | None = None
        self.env: dict[str, str] = {}
        """The environment for every program that is to be in this room."""

    def __enter__(self) -> Self:
        # Short, since the path of a socket may have 108 letters at most.
        self._folder = Path(tempfile.mkdtemp(prefix="room-", dir="/tmp"))
        for name in ("home", "run", "state"):
            (self._folder / name).mkdir(mode=0o700)
        (self._folder / "home" / ".asoundrc").write_text(_ASOUNDRC)
        socket = self._folder / "run" / "native"
        drop = ("PULSE_", "XDG_", "DBUS_", "ALSA_", "PIPEWIRE_")
        kept = {name: text for name, text in os.environ.items() if not name.startswith(drop)}
        self.env = kept | {
            "HOME": str(self._folder / "home"),
            "XDG_RUNTIME_DIR": str(self._folder / "run"),
            "PULSE_RUNTIME_PATH": str(self._folder / "run"),
            "PULSE_STATE_PATH": str(self._folder / "state"),
            "PULSE_SERVER": f"unix:{socket}",
        }
        script = self._folder / "room.pa"
        script.write_text(_SINKS.format(socket=socket, rate=RATE))
        try:
            self.start()
        except BaseException:
            self._clear()
            raise
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.stop()
        self._clear()

    @property
    def folder(self) -> Path:
        """The room's own folder, gone when it ends."""
        assert self._folder is not None
        return self._folder

    def start(self) -> None:
        """Start the sound server (again, after `stop`: as if a device were plugged in)."""
        with (self.folder / "pulse.log").open("ab") as log:
            self._daemon = subprocess.Popen(
                [
                    "pulseaudio",
                    "--daemonize=no",
                    "--use-pid-file=no",
                    "--exit-idle-time=-1",
                    "--disallow-module-loading=no",
                    "--log-target=stderr",
                    "-n",
                    "-F",
                    str(self.folder / "room.pa"),
                ],
                env=self.env,
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=log,
            )
        deadline = time.monotonic() + 10
        while time.monotonic() < deadline:
            asked = self._run("pactl", "list", "short", "sources", check=False)
            if "mic" in asked.stdout:
                return
            if self._daemon.poll() is not None:
                break
            time.sleep(0.05)
        raise RuntimeError("no sound server: " + (self.folder / "pulse.log").read_text()[-2000:])

    def stop(self) -> None:
        """End the sound server: every device is gone."""
        daemon, self._daemon = self._daemon, None
        if daemon is None:
            return
        daemon.send_signal(signal.SIGTERM)
        try:
            daemon.wait(5)
        except subprocess.TimeoutExpired:
            daemon.kill()
            daemon.wait()
        (self.folder / "run" / "native").unlink(missing_ok=True)

    def pactl(self, *words: str) -> str:
        """Ask the sound server for something; what it printed."""
        return self._run("pactl", *words).stdout.strip()

    def speak(self, wav: Path, *, volume: float = 1.0, wait: bool = True) -> subprocess.Popen[str]:
        """Play a file into the microphone; returns at its end, or at once without `wait`."""
        player = subprocess.Popen(
            ["paplay", "--device=mouth", f"--volume={round(volume * 65536)}", str(wav)],
            env=self.env,
            text=True,
        )
        if wait and player.wait(60):
            raise RuntimeError(f"paplay ended with {player.returncode}")
        return player

    def speak_text(
        self, text: str, *, voice: str = "slt", volume: float = 1.0, wait: bool = True
    ) -> subprocess.Popen[str]:
        """Speak with one of flite's voices (slt, rms, awb, kal, kal16)."""
        return self.speak(self.voice_file(text, voice=voice), volume=volume, wait=wait)

    def voice_file(self, text: str, *, voice: str = "slt") -> Path:
        """A file with the text spoken, rendered once."""
        name = "".join(letter if letter.isalnum() else "_" for letter in f"{voice}_{text}")
        file = self.folder / f"{name[:150]}.wav"
        if not file.exists():
            self._run("flite", "-voice", voice, "-t", text, "-o", str(file))
        return file

    @contextlib.contextmanager
    def record(self, source: str = "room.monitor", *, rate: int = RATE) -> Iterator[Recording]:
        """Record what the loudspeaker plays (or another source) while the block runs."""
        file = self.folder / f"recording-{time.monotonic_ns()}.wav"
        recorder = subprocess.Popen(
            [
                "parecord",
                f"--device={source}",
                "--channels=1",
                "--format=s16le",
                f"--rate={rate}",
                "--latency-msec=20",
                "--file-format=wav",
                str(file),
            ],
            env=self.env,
        )
        made = Recording(file, rate)
        try:
            # The file appears before the stream runs: wait for sound (silence, too, is samples).
            _wait_until(lambda: file.exists() and file.stat().st_size > 4_000, 10)
            yield made
        finally:
            recorder.send_signal(signal.SIGTERM)
            recorder.wait(10)
            if file.exists():
                made.samples = _samples(file)

    @contextlib.contextmanager
    def echo(self, volume: float, *, milliseconds: int = 20) -> Iterator[None]:
        """While the block runs the microphone hears the loudspeaker, at this volume (0 to 1)."""
        module = self.pactl(
            "load-module",
            "module-loopback",
            "source=room.monitor",
            "sink=mouth",
            f"latency_msec={milliseconds}",
            # Left to itself it retunes its rate every ten seconds, as no room does.
            "adjust_time=0",
        )
        try:
            inputs = self.pactl("list", "sink-inputs")
            number = ""
            for line in inputs.splitlines():
                if line.startswith("Sink Input #"):
                    number = line.partition("#")[2]
                if line.strip() == f"Owner Module: {module}":
                    break
            self.pactl("set-sink-input-volume", number, str(round(volume * 65536)))
            yield
        finally:
            with contextlib.suppress(subprocess.CalledProcessError):
                self.pactl("unload-module", module)

    def _run(self, *words: str, check: bool = True) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            words, env=self.env, capture_output=True, text=True, timeout=30, check=check
        )

    def _clear(self) -> None:
        if self._folder is not None:
            shutil.rmtree(self._folder, ignore_errors=True)
            self._folder = None


def _samples(file: Path) -> NDArray[np.int16]:
    """The samples of a recording; its header may be unfinished, so the rest counts as samples."""
    with contextlib.suppress(wave.Error, EOFError), wave.open(str(file)) as opened:
        return np.frombuffer(opened.readframes(opened.getnframes()), np.int16)
    data = file.read_bytes()[44:]
    return np.frombuffer(data[: len(data) // 2 * 2], np.int16)


def _wait_until(true: Callable[[], bool], seconds: float) -> None:
    deadline = time.monotonic() + seconds
    while time.monotonic() < deadline:
        if true():
            return
        time.sleep(0.01)
    raise RuntimeError("the recorder hears nothing")
