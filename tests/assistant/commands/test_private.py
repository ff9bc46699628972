"""Training opens no socket, keeps nothing of what it hears, and leaves files that are one's own.

The whole program runs in a process of its own: once typed, once with recordings as its microphone.
Python tells of every socket through its audit hooks (PEP 578), and strace, where it is installed,
of those that libraries below Python would open.
"""

from __future__ import annotations

import os
import shutil
import stat
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.hearing.moonshine_net import find_net
from tests.assistant.commands.answering import home_in

WATCHED = """
import os, sys

def watch(event, about):
    if event.startswith(("socket.", "urllib.", "http.", "ftplib.", "smtplib.")):
        print("FORBIDDEN", event, about, file=sys.stderr, flush=True)
        os._exit(99)

sys.addaudithook(watch)
from assistant.commands import main
main()
"""

LINES = "no\nyes\nyes\nstart\ndone\nlog 5\nfinish\nyes\nsix\n"

SOUNDS = Path(__file__).parents[3] / "assistant" / "demonstration"
HEARD = [str(SOUNDS / f"{name}.wav") for name in ("no", "yes", "yes", "start", "done")]
"""Heard with the best recogniser that is here."""

FORMATS = {b"RIFF", b"FORM", b"fLaC", b"OggS", b"caff", b".snd"}
"""What sound files begin with."""


def run(home: Path, *words: str, before: tuple[str, ...] = (), code: str = WATCHED) -> str:
    done = subprocess.run(
        [*before, sys.executable, "-c", code, *words],
        input=LINES,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
        env={
            "PATH": os.environ["PATH"], "HOME": str(home), "CUEWALK_HOME": str(home / "own"),
            "TMPDIR": str(home / "passing"),
        },
        umask=0o022,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def trained(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A home after a typed and a recorded session and what is made of them."""
    home = tmp_path_factory.mktemp("home")
    (home / "passing").mkdir()
    words = home_in(home)
    said = run(home, "train", "--verbose", "--typed", "--at", "200", *words)
    assert "It is all on record" in said or "session 1 is on record" in said
    said = run(home, "train", "--new", "--at", "200", *words, "--hear", *HEARD)
    assert "athlete: yes" in said, "nothing was heard, so nothing was shown"
    run(home, "export", "--format", "json", "--to", str(home / "own" / "export.json"))
    run(home, "report", "--to", str(home / "own" / "report.html"))
    run(home, "new", "profile", str(home / "own" / "profile.toml"))
    return home


def files(folder: Path) -> Iterator[Path]:
    return (path for path in folder.rglob("*") if path.is_file())


def test_no_socket_is_opened(trained: Path) -> None:
    """The hook would have ended the program; that it can is shown here."""
    with pytest.raises(AssertionError, match="FORBIDDEN socket"):
        run(trained, code=WATCHED.replace("main()", "import socket; socket.socket()"))


@pytest.mark.skipif(shutil.which("strace") is None, reason="strace shows what libraries do")
def test_no_library_opens_one(trained: Path, tmp_path: Path) -> None:
    trace = tmp_path / "trace"
    watch = ("strace", "-f", "-qq", "-e", "trace=socket,socketpair,connect", "-o", str(trace))
    words = home_in(tmp_path / "more")
    try:
        said = run(trained, "train", "--new", "--at", "200", *words, "--hear", *HEARD, before=watch)
        assert "athlete: yes" in said, "nothing was heard, so no recogniser ran"
    except AssertionError as error:
        if "ptrace" in str(error):
            pytest.skip("strace may not trace here")
        raise
    assert trace.exists()
    calls = [line for line in trace.read_text().splitlines() if "(" in line and "+++" not in line]
    assert calls == []


def test_nothing_heard_is_kept_as_sound(trained: Path) -> None:
    kept = list(files(trained))
    assert any(path.name == "record.db" for path in kept)
    assert [path for path in kept if path.read_bytes()[:4] in FORMATS] == []
    assert list((trained / "passing").iterdir()) == []


def test_nothing_is_left_outside_its_own_folder(trained: Path) -> None:
    """Libraries keep things of their own in the home of whoever runs them."""
    given = {trained / "me.toml", trained / "catalogue" / "all.toml"}
    outside = {path for path in files(trained) if not path.is_relative_to(trained / "own")}
    assert outside == given


NETWORKS = """
from assistant.hearing.moonshine_net import MoonshineNet, find_net
from assistant.speaking.natural_voice import NaturalVoice, obstacle
MoonshineNet(find_net())
if obstacle() is None:
    NaturalVoice().render("One, two.", 165)
"""


def test_what_runs_the_networks_tells_nobody(tmp_path: Path) -> None:
    """onnxruntime gives a machine a number and sends what it runs with it, unless it is told not
    to. Source: "Disabling Telemetry" in the file Privacy.md of its wheel."""
    if find_net() is None:
        pytest.skip("no network: install 'moonshine-voice<=0.1.0'")
    (tmp_path / "passing").mkdir()
    run(tmp_path, code=NETWORKS)
    assert list(files(tmp_path)) == []


@pytest.mark.skipif(os.name != "posix", reason="rights of POSIX")
def test_files_and_folders_are_their_owners_alone(trained: Path) -> None:
    made = [trained / "own", *(trained / "own").rglob("*")]
    names = {path.name for path in made}
    assert names >= {"record.db", "export.json", "report.html", "profile.toml", "cuewalk.log"}
    open_to_others = [path for path in made if stat.S_IMODE(path.stat().st_mode) & 0o077]
    assert open_to_others == []
