"""Agreement of two readings, and the open model that gives the second."""

from pathlib import Path

import pocketsphinx
import pytest

from assistant.hearing.agreement import calibration, difference
from assistant.hearing.decoys import decoys, frequencies
from assistant.hearing.open_model import BEGIN, END, arpa


def test_the_more_two_readings_differ_the_less_they_are_worth() -> None:
    found = calibration("pocketsphinx")
    worths = [found.worth(n / 20) for n in range(21)]
    assert worths == sorted(worths, reverse=True)
    assert 0 <= worths[-1] < 0.5 < worths[0] <= 1
    assert 0 < found.most < 1


def test_difference_counts_phones() -> None:
    assert difference(["R", "EH", "P", "S"], ["R", "EH", "P", "S"]) == 0
    assert difference(["N", "OW"], ["N", "AW"]) == 0.5
    assert difference(["N", "OW"], ["P", "L", "IY", "Z"]) == 1
    assert difference([], ["N"]) == 1


def test_the_open_model_is_one_that_pocketsphinx_reads_and_that_sums_to_one(
    tmp_path: Path,
) -> None:
    everyday = {word: frequencies("en")[word] for word in decoys("en", 50)}
    path = tmp_path / "open.arpa"
    path.write_text(arpa(["stop", "go on", "go back", "log ten seconds"], everyday))
    decoder = pocketsphinx.Decoder(lm=None, loglevel="FATAL")
    model = pocketsphinx.NGramModel(decoder.config, decoder.get_logmath(), str(path))
    logmath = decoder.get_logmath()
    words = {"stop", "go", "on", "back", "log", "ten", "seconds", END, *everyday}
    for before in (BEGIN, "go", "ten", "the"):
        # The library takes the word first and what stood before it after that.
        total = sum(logmath.exp(model.prob([word, before])) for word in words)
        assert total == pytest.approx(1.0, abs=0.03), before


def test_decoys_are_words_of_the_dictionary() -> None:
    decoder = pocketsphinx.Decoder(lm=None, loglevel="FATAL")
    assert all(decoder.lookup_word(word) for word in decoys("en", 2000))
    assert len(decoys("en", 2000)) == len(set(decoys("en", 2000))) >= 1000
    assert decoys("xx") == ()


def test_a_phrase_that_fits_is_one_in_a_quiet_room_only() -> None:
    found = calibration("pocketsphinx")
    assert found.is_phrase(1.0, found.fits)
    assert not found.is_phrase(1.0, found.fits, clear=False)
    assert found.is_phrase(found.most, found.fits - 0.1, clear=False)
    assert not found.is_phrase(0.0, found.misfits)
    assert found.is_phrase(found.most, None)
    assert not found.is_phrase(found.most + 0.1, None)
