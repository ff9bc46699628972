import logging
import threading
import time

import pytest

from assistant.speaking.finished import Finished


def gather(wanted: int) -> tuple[Finished, list[tuple[str, bool, float]], threading.Event]:
    told: list[tuple[str, bool, float]] = []
    done = threading.Event()

    def call(tag: str, whole: bool) -> None:
        told.append((tag, whole, time.monotonic()))
        if len(told) == wanted:
            done.set()

    finished = Finished(time.monotonic)
    finished.call(call)
    return finished, told, done


def test_tells_at_the_time_and_in_the_order_of_the_ends() -> None:
    finished, told, done = gather(3)
    now = time.monotonic()
    finished.put("later", True, now + 0.2)
    finished.put("sooner", False, now + 0.1)
    finished.put("past", True, now - 1.0)
    assert done.wait(5)
    assert [(tag, whole) for tag, whole, _ in told] == [
        ("past", True),
        ("sooner", False),
        ("later", True),
    ]
    for (_, _, at), wanted in zip(told[1:], (0.1, 0.2), strict=True):
        assert now + wanted <= at < now + wanted + 0.1
    finished.close()


def test_calls_from_a_thread_of_its_own() -> None:
    threads: list[threading.Thread] = []
    done = threading.Event()
    finished = Finished(time.monotonic)
    finished.call(lambda tag, whole: (threads.append(threading.current_thread()), done.set()))
    finished.put("a", True, 0.0)
    assert done.wait(5)
    assert threads[0] is not threading.current_thread()
    finished.close()


def test_a_failing_listener_silences_no_other(caplog: pytest.LogCaptureFixture) -> None:
    finished, told, done = gather(2)
    finished._calls.insert(0, lambda tag, whole: 1 / 0)
    with caplog.at_level(logging.ERROR):
        finished.put("a", True, 0.0)
        finished.put("b", True, 0.0)
        assert done.wait(5)
    finished.close()
    assert [tag for tag, _, _ in told] == ["a", "b"]
    assert "ZeroDivisionError" in caplog.text


def test_closed_it_tells_no_more() -> None:
    finished, told, _ = gather(1)
    finished.put("a", True, time.monotonic() + 60)
    began = time.monotonic()
    finished.close()
    assert time.monotonic() - began < 1
    assert told == []
