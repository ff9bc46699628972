"""The log: only where asked for, in the platform's folder, kept small, with causes."""

from __future__ import annotations

import logging
import threading
from collections.abc import Iterator
from pathlib import Path

import platformdirs
import pytest

from assistant.errors import InputError
from assistant.logs import BYTES, KEPT, journal, log_folder, start_log
from tests.assistant.commands.test_bad_input import refused, run


@pytest.fixture(autouse=True)
def no_log_left() -> Iterator[None]:
    hook = threading.excepthook
    yield
    for handler in list(journal.handlers):
        journal.removeHandler(handler)
        handler.close()
    journal.setLevel(logging.NOTSET)
    journal.propagate = True
    threading.excepthook = hook


def test_where_it_lies() -> None:
    assert log_folder({}) == platformdirs.user_log_path("cuewalk", False)
    assert log_folder({"CUEWALK_HOME": "/some/where"}) == Path("/some/where/logs")


def test_a_session_is_followed_only_where_asked_for(tmp_path: Path) -> None:
    words = ("train", "--typed", "--at", "1000")
    run(*words, stdin="no\n", home=tmp_path)
    assert not (tmp_path / "logs").exists()
    done = run(*words, "--verbose", stdin="no\nbanana\n", home=tmp_path)
    file = tmp_path / "logs" / "cuewalk.log"
    assert str(file) in done.stderr
    assert all(line.startswith(("coach: ", "note: ")) for line in done.stdout.splitlines())
    text = file.read_text()
    assert "text='no'" in text
    assert "text='banana'" in text
    assert "nothing that was meant for the coach" in text


@pytest.mark.parametrize("place", [0, 1, 2])
def test_the_option_may_stand_before_the_command_or_behind_it(tmp_path: Path, place: int) -> None:
    words = [["--verbose", "train"], ["train", "--verbose"], ["--verbose", "train", "--verbose"]]
    said = refused(run(*words[place], "--engine", "magic", home=tmp_path))
    assert "Traceback" not in said
    text = (tmp_path / "logs" / "cuewalk.log").read_text()
    assert text.count("arguments:") == 1
    assert "Traceback" in text
    assert "magic" in text


def test_it_is_kept_small(tmp_path: Path) -> None:
    file = start_log("1.0", {"CUEWALK_HOME": str(tmp_path)})
    for _ in range(7000):
        journal.debug("x" * 990)
    sizes = [path.stat().st_size for path in file.parent.iterdir()]
    assert len(sizes) == KEPT + 1
    assert max(sizes) <= BYTES


def test_a_thread_that_fails_is_logged(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = start_log("1.0", {"CUEWALK_HOME": str(tmp_path)})

    def fail() -> None:
        raise RuntimeError("invented failure")

    thread = threading.Thread(target=fail, name="painter")
    thread.start()
    thread.join()
    text = file.read_text()
    assert "painter failed" in text
    assert "invented failure" in text


def test_a_folder_that_can_not_be_written_is_told(tmp_path: Path) -> None:
    (tmp_path / "logs").write_text("in the way")
    with pytest.raises(InputError, match="--verbose"):
        start_log("1.0", {"CUEWALK_HOME": str(tmp_path)})
    assert "logs" in refused(run("--verbose", "log", home=tmp_path))
