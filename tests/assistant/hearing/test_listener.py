"""The listening thread, with a recogniser that only notes what is done with it."""

import threading
from collections.abc import Iterator

import numpy as np
import pytest

from assistant.errors import HearingError
from assistant.hearing.listener import Listener, TimedBlock, blocks_of, transcribe
from assistant.hearing.port import BLOCK, RATE, Samples, Utterance
from intents.grammar import Grammar


def grammar(name: str) -> Grammar:
    return Grammar(name, "", (), frozenset())


class Noting:
    name = "noting"
    speaking = False

    def __init__(self, fail_at: float = 1e9) -> None:
        self.did: list[str] = []
        self.fail_at = fail_at

    def listen_for(self, grammar: Grammar) -> None:
        self.did.append(grammar.name)

    def accept(self, block: Samples, at: float) -> Iterator[Utterance]:
        if at >= self.fail_at:
            raise HearingError("The microphone is gone.")
        self.did.append(f"{at:.2f}")
        yield Utterance("a", (), 1.0, at, at, False, self.name)

    def flush(self, at: float) -> Iterator[Utterance]:
        self.did.append("flush")
        yield Utterance("b", (), 1.0, at, at, True, self.name)

    def unknown(self, words: frozenset[str], spaced: bool = True) -> frozenset[str]:
        return frozenset()

    def close(self) -> None: ...


def test_a_recording_is_cut_into_timed_blocks() -> None:
    sound = np.arange(BLOCK * 2 + 100, dtype=np.int16)
    blocks = list(blocks_of(sound, 5.0))
    assert [round(at, 2) for _, at in blocks] == [5.0, 5.03, 5.06]
    assert {len(block) for block, _ in blocks} == {BLOCK}
    assert np.array_equal(np.concatenate([b for b, _ in blocks])[: len(sound)], sound)


def test_a_file_gives_its_final_utterances() -> None:
    heard = transcribe(Noting(), np.zeros(BLOCK * 3, np.int16))
    assert [(u.text, u.ended) for u in heard] == [("b", 3 * BLOCK / RATE)]


def listen(recogniser: Noting) -> tuple[list[str], list[HearingError | None]]:
    heard: list[str] = []
    ended: list[HearingError | None] = []
    done = threading.Event()

    def end(error: HearingError | None) -> None:
        ended.append(error)
        done.set()

    source = blocks_of(np.zeros(BLOCK * 3, np.int16))
    listener = Listener(recogniser, source, lambda u: heard.append(u.text), end)
    listener.listen_for(grammar("first"))
    listener.listen_for(grammar("second"))
    listener.start()
    assert done.wait(5)
    listener.stop()
    return heard, ended


def test_only_the_last_grammar_asked_for_is_taken_before_the_next_block() -> None:
    recogniser = Noting()
    heard, ended = listen(recogniser)
    assert recogniser.did == ["second", "0.00", "0.03", "0.06", "flush"]
    assert heard == ["a", "a", "a", "b"]
    assert ended == [None]


def test_an_error_ends_it_and_is_told() -> None:
    _, ended = listen(Noting(fail_at=0.05))
    assert [str(e) for e in ended] == ["The microphone is gone."]


def test_whatever_breaks_the_listening_is_told() -> None:
    """A session that hears nothing has to know it; the user sees a sentence."""

    class Broken(Noting):
        def accept(self, block: Samples, at: float) -> Iterator[Utterance]:
            raise ZeroDivisionError("somewhere deep")

    _, ended = listen(Broken())
    (error,) = ended
    assert isinstance(error, HearingError)
    assert "cuewalk train" in str(error)


def test_it_stops_while_the_source_goes_on() -> None:
    going = threading.Event()

    def endless() -> Iterator[TimedBlock]:
        at = 0.0
        while True:
            going.set()
            yield np.zeros(BLOCK, np.int16), at
            at += 0.03

    ended = threading.Event()
    listener = Listener(Noting(), endless(), lambda u: None, lambda e: ended.set())
    listener.start()
    assert going.wait(5)
    listener.stop()
    assert ended.wait(5)


@pytest.mark.parametrize("length", [0, 1])
def test_next_to_no_sound_is_no_trouble(length: int) -> None:
    assert [u.text for u in transcribe(Noting(), np.zeros(length, np.int16))] == ["b"]


def test_it_tells_when_somebody_speaks_and_that_it_is_over_behind_what_was_said() -> None:
    class Second(Noting):
        """Somebody speaks in the second block only; it is told what that was in the third."""

        def accept(self, block: Samples, at: float) -> Iterator[Utterance]:
            over = self.speaking
            self.speaking = not over and at > 0.01
            if over:
                yield Utterance("over", (), 1.0, at, at, True, self.name)

    told: list[str | bool] = []
    ended = threading.Event()
    listener = Listener(
        Second(),
        blocks_of(np.zeros(BLOCK * 3, np.int16)),
        lambda u: told.append(u.text),
        lambda e: ended.set(),
        told.append,
    )
    listener.start()
    assert ended.wait(5)
    assert told == [True, "over", False, "b"]
