"""Pieces of text: how words are cut, spelled and read back, and what a damaged file says.

Outside source: SentencePiece (PyPI, from the authors of the method that such pieces come from),
given the same pieces; words of the CMU dictionary in PocketSphinx's wheel.
"""

import doctest
import random
from pathlib import Path
from types import ModuleType

import pocketsphinx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from assistant.coach import Coach
from assistant.errors import HearingError
from assistant.files import builtin_catalogue
from assistant.hearing import moonshine_pieces
from assistant.hearing.moonshine_net import PIECES
from assistant.hearing.moonshine_pieces import END, SPACE, SPECIAL, START, Pieces
from assistant.session.nodes import Node
from assistant.session.scopes import scope_at

BYTES = 256
"""Pieces that stand for single bytes come behind the special ones."""

SMALL = Pieces([b"<unk>", b"<s>", b"</s>", *(bytes([n]) for n in range(97, 123))])


def test_the_example() -> None:
    assert doctest.testmod(moonshine_pieces).failed == 0


def test_words_are_cut_as_sentencepiece_cuts_them(net_folder: Path, pieces: Pieces) -> None:
    library = pytest.importorskip("sentencepiece")
    schema = pytest.importorskip("sentencepiece.sentencepiece_model_pb2")
    model = model_of(raw(net_folder / PIECES), schema)
    other = library.SentencePieceProcessor(model_proto=model)
    dictionary = Path(pocketsphinx.get_model_path("en-us/cmudict-en-us.dict"))
    words = [line.split()[0] for line in dictionary.read_text("utf-8").splitlines()]
    for word in random.Random(1).sample(words, 4000):
        for text in (word, SPACE + word, SPACE + word.capitalize(), "-" + word):
            assert list(pieces.of(text)) == other.encode(text), text


def raw(path: Path) -> list[bytes]:
    """The pieces of a file, as its form is told in `Pieces.load`, read in another way."""
    data, out = path.read_bytes(), []
    while data:
        short = data[0] < 128
        length = data[0] if short else data[0] - 128 + 128 * data[1]
        data = data[1 if short else 2 :]
        out.append(data[:length])
        data = data[length:]
    return out


def model_of(pieces: list[bytes], schema: ModuleType) -> bytes:
    """A model of SentencePiece with these pieces: the earlier of two is the more frequent."""
    model = schema.ModelProto()
    kinds = model.SentencePiece
    for number, piece in enumerate(pieces):
        text, kind = piece.decode("utf-8", "replace"), kinds.NORMAL
        if number < SPECIAL:
            kind = kinds.CONTROL if number else kinds.UNKNOWN
        elif number < SPECIAL + BYTES:
            text, kind = f"<0x{number - SPECIAL:02X}>", kinds.BYTE
        elif not piece:
            text, kind = f"<none {number}>", kinds.UNUSED
        model.pieces.add(piece=text, score=-float(number), type=kind)
    model.trainer_spec.model_type = schema.TrainerSpec.BPE
    model.trainer_spec.byte_fallback = True
    model.normalizer_spec.add_dummy_prefix = False
    model.normalizer_spec.remove_extra_whitespaces = False
    made: bytes = model.SerializeToString()
    return made


@pytest.fixture(scope="module")
def phrases() -> list[tuple[str, ...]]:
    """Every phrase that is listened for somewhere in a session with the built-in catalogue."""
    coach = Coach.of(builtin_catalogue(), "en")
    listened_for = {p for node in Node for p in coach.grammar(scope_at(node)).phrases}
    return sorted(tuple(phrase.split()) for phrase in listened_for)


def test_every_phrase_can_be_spelled_and_reads_as_it_was(
    pieces: Pieces, phrases: list[tuple[str, ...]]
) -> None:
    assert len(phrases) > 500
    for words in phrases:
        behind, shortest, longest = "", list[int](), list[int]()
        for number, word in enumerate(words):
            ways = pieces.spellings(word, number == 0, behind)
            assert ways
            assert all(0 not in way for way in ways), word
            for whole, way in ((shortest, min(ways, key=len)), (longest, max(ways, key=len))):
                whole += way
            behind = word
        for whole in (shortest, longest):
            assert pieces.text(whole).lower().replace("-", " ").split() == list(words)


def written(pieces: Pieces, word: str, first: bool = False, behind: str = "") -> set[str]:
    """The spellings, without the space before them."""
    return {pieces.text(way) for way in pieces.spellings(word, first, behind)}


def test_words_are_written_as_in_sentences(pieces: Pieces) -> None:
    assert written(pieces, "stop", first=True) == {"stop", "Stop"}
    assert written(pieces, "stop") == {"stop"}
    assert written(pieces, "i'm") == {"I'm"}
    assert written(pieces, "i", first=True) == {"I"}
    assert written(pieces, "eight", behind="thirty") == {"eight", "-eight"}
    assert written(pieces, "eight", behind="hundred") == {"eight"}
    # A letter by itself may stand with the one before it: "TV".
    assert written(pieces, "t") == {"t", "T"}
    assert len(pieces.spellings("t", False, "a")) == 3


TEXT = some.text(some.characters(codec="ascii", categories=("L", "N", "P")), min_size=1)


@given(TEXT)
@settings(deadline=None)
def test_pieces_joined_give_the_text_back(pieces: Pieces, text: str) -> None:
    assert pieces.text(pieces.of(text)) == text


@given(TEXT)
def test_letters_without_a_piece_are_unknown(text: str) -> None:
    assert [piece == 0 for piece in SMALL.of(text)] == [not "a" <= c <= "z" for c in text]


def test_start_and_end_are_no_text_and_broken_letters_do_no_harm(pieces: Pieces) -> None:
    assert pieces.text([START, *pieces.of(SPACE + "no"), END]) == "no"
    letter = [SPECIAL + byte for byte in "☃".encode()]
    assert pieces.text(letter) == "☃"
    assert "\ufffd" in pieces.text(letter[:2])


@pytest.mark.parametrize("damage", ["empty", "short", "long", "other", "moved"])
def test_a_damaged_file_is_told_in_a_sentence(
    net_folder: Path, tmp_path: Path, damage: str
) -> None:
    whole = (net_folder / PIECES).read_bytes()
    damaged = {
        "empty": b"",
        "short": whole[: len(whole) // 2],
        "long": whole + b"\x7f",
        "other": b"RIFF" + whole,
        "moved": whole[1:],
    }
    path = tmp_path / PIECES
    path.write_bytes(damaged[damage])
    with pytest.raises(HearingError, match="is damaged; install moonshine-voice again") as told:
        Pieces.load(path)
    assert str(told.value).count(". ") == 0
